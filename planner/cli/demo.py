"""Copies of the invented palettes and jobs, put where a person can change them."""

import shlex
from contextlib import suppress
from pathlib import Path

from planner import atomic
from planner.catalogue.palette import load, sources
from planner.catalogue.settings import hide_demo
from planner.data import demo
from planner.refusal import Refusal
from planner.say.document import Command, Document, Literally, Section, Sentence
from planner.say.question import next_steps


def write(folder: Path) -> tuple[Path, ...]:
    """Copy the demo into `folder`, which may exist but holds none of its files, and return the copies.

    Raises
    ------
    Refusal
        If one of the files is there already, or the folder cannot be written; no file is left then.

    """
    source = demo()
    files = [path for kind in ("*.toml", "*.csv") for path in sorted(source.rglob(kind))]
    pairs = [(path, folder / path.relative_to(source)) for path in files]
    for path, target in pairs:
        # What an earlier try wrote before it was cut short is whole, and no reason to refuse.
        if target.exists() and target.read_bytes() != path.read_bytes():
            raise Refusal(
                f"{target}: is there already and stays as it is; nothing was written, so name a new folder"
            )
    begun: list[Path] = []
    made = [one for one in (*folder.parents[::-1], folder, folder / "jobs") if not one.exists()]
    try:
        for path, target in pairs:
            atomic.make_folder(target.parent)
            if not target.exists():
                atomic.write(target, path.read_bytes())
                begun.append(target)
    except Refusal:
        for target in begun:
            with suppress(OSError):
                target.unlink()
        for one in reversed(made):
            with suppress(OSError):
                one.rmdir()
        raise
    return tuple(target for _, target in pairs)


def offered(*, hidden: bool) -> Document:
    """Hide the demo's from now on or show them again, and say so."""
    hide_demo(load(*sources()), hidden=hidden)
    return Document("", (
        Sentence("The demo's are hidden wherever you choose or rank; planner demo --show shows them again."
                 if hidden else "The demo's are shown again."),
    ))  # fmt: skip


def told(folder: Path, written: tuple[Path, ...]) -> Document:
    """Return what was written and what to type next."""
    jobs = [path for path in written if path.parent != folder]
    palettes = [path for path in written if path.parent == folder and path.suffix == ".toml"]
    lists = [path for path in written if path.suffix == ".csv"]
    checks = [Command(f"check {shlex.quote(str(path))}", {"--palettes": folder}) for path in jobs[:1]]
    return Document("", (
        Sentence(
            f"Wrote {len(palettes)} palette files, {len(jobs)} jobs and {len(lists)} lists. All of it is "
            "invented: change it, or put what you measured in its place. Each file says in its first lines "
            "what its fields mean."
        ),
        Section("", tuple(Literally(str(path)) for path in written)),
        next_steps(Command("list stones", {"--palettes": folder}), *checks),
    ))  # fmt: skip
