"""Serves the interface, tells the link and opens it."""

import asyncio
import os
import shlex
import socket
import subprocess
import sys
import webbrowser
from collections.abc import Callable, Sequence
from contextlib import suppress
from ipaddress import IPv4Address, ip_address
from pathlib import Path

from planner.app.browser.door import Door
from planner.job import read_job_file
from planner.refusal import Refusal

HERE = "127.0.0.1"
"""The loopback address, which no other computer reaches."""


def in_browser(
    job: Path | None, palettes: Path | None, address: str | None, tell: Callable[[str], None]
) -> int:
    """Serve the interface to one browser window until that is closed, and return the exit status.

    Parameters
    ----------
    job, palettes
        As for `planner.app.run.run`.
    address
        One of this computer's addresses, for a browser elsewhere in the same network; loopback for None.
    tell
        Takes lines for the person.

    Raises
    ------
    Refusal
        If the extra is not installed, the job cannot be read, or nothing can be served at that address.

    """
    try:
        from planner.app.browser.server import WindowServer
    except ImportError:
        raise Refusal(
            "--browser needs an extra that is not installed; in the planner's folder, "
            "pip install '.[browser]' installs it"
        ) from None
    if job is not None:
        read_job_file(job)  # what is wrong with it is told here, not in the window
    with bound(address) as listening:
        door = Door("{}:{}".format(*listening.getsockname()))
        server = WindowServer(command(job, palettes), door)

        def ready() -> None:
            tell(f"The planner is at {door.link}")
            tell("The link opens once. Close the window, or press Ctrl+C here, to end it.")
            if address is not None:
                tell("Anyone with the link can open it, and anyone on that network can read what is sent.")
            elif window := _window():
                window.open(door.link)

        with suppress(KeyboardInterrupt):
            asyncio.run(server.run(listening, ready))
    return 0


def bound(address: str | None) -> socket.socket:
    """Return a socket at an address of this computer, at a port that is free.

    Raises
    ------
    Refusal
        If it is no such address.

    """
    try:
        place = ip_address(address or HERE)
    except ValueError:
        place = None
    if not isinstance(place, IPv4Address) or place.is_unspecified:
        raise Refusal(f'--address: found "{address}"; allowed is one of this computer, as 192.168.1.20')
    listening = socket.socket()
    try:
        listening.bind((str(place), 0))
    except OSError as problem:
        listening.close()
        why = problem.strerror or problem
        raise Refusal(f"--address: nothing can be served at {place} ({why})") from None
    return listening


def command(job: Path | None, palettes: Path | None) -> str:
    """Return what opens the interface itself, as a shell has it."""
    parts: Sequence[str] = [
        sys.executable, "-m", "planner", "open", *([] if job is None else [str(job)]),
        *([] if palettes is None else ["--palettes", str(palettes)]),
    ]  # fmt: skip
    return subprocess.list2cmdline(parts) if os.name == "nt" else shlex.join(parts)


def _window() -> webbrowser.BaseBrowser | None:
    """Return a browser with a window of its own; one in the terminal would hide the link."""
    try:
        found = webbrowser.get()
    except webbrowser.Error:
        return None
    return None if type(found).__name__ in {"GenericBrowser", "Elinks"} else found
