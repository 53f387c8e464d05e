"""The server behind the window: textual-serve, with a door before it and an end."""

import asyncio
import logging
import socket
from collections.abc import Awaitable, Callable
from pathlib import Path

import aiohttp_jinja2
from aiohttp import web
from textual_serve.server import Server

from planner.app.browser.door import Door
from planner.app.pauses import started

GRACE = 4.0
"""Seconds without a window until the server ends: a page may be loaded anew."""

_HEADERS = {
    "Content-Security-Policy": "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; "
    "connect-src 'self' ws:; frame-ancestors 'none'",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "Cache-Control": "no-store",
}

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


class WindowServer(Server):
    """Serves one command to one browser, until its window is closed.

    Parameters
    ----------
    command
        What is run for the window, as a shell has it.
    door
        Who is let in.

    """

    def __init__(self, command: str, door: Door) -> None:
        super().__init__(
            command, title="planner", public_url=f"http://{door.place}", templates_path=Path(__file__).parent
        )
        for name in ("textual-serve", "aiohttp.server"):  # a lost connection is nothing to be told of
            logging.getLogger(name).addHandler(logging.NullHandler())
        self._door = door
        self._windows = 0
        self._closed = asyncio.Event()

    async def run(self, bound: socket.socket, ready: Callable[[], None]) -> None:
        """Serve on a bound socket until the window is closed; `ready` is called once it can be opened."""
        runner = web.AppRunner(await self._make_app(), access_log=None)
        await runner.setup()
        try:
            await web.SockSite(runner, bound).start()
            started()  # it may go on for hours, unlike other commands
            ready()
            await self._closed.wait()
        finally:
            await runner.cleanup()

    async def on_startup(self, app: web.Application) -> None:
        """Say nothing: the link is told by whoever serves."""

    async def _make_app(self) -> web.Application:
        app = await super()._make_app()
        app.middlewares.append(self._guard)
        return app

    @web.middleware
    async def _guard(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Let in whoever the door lets in."""
        door = self._door
        if request.host == door.place and request.path == "/" and door.enters(request.query.get("token", "")):
            moved = web.Response(status=303, headers={"Location": "/", **_HEADERS})
            moved.set_cookie(door.cookie, door.key, httponly=True, samesite="Strict")
            return moved
        refused = door.refuses(
            request.host, request.cookies.get(door.cookie, ""), request.headers.get("Origin")
        )
        if refused is not None:
            return web.Response(status=403, text=f"{refused}\n", headers=_HEADERS)
        response = await handler(request)
        if not response.prepared:
            response.headers.update(_HEADERS)
        return response

    async def handle_index(self, request: web.Request) -> web.StreamResponse:
        """Send the page."""
        static = f"{self.public_url}/static/"
        return aiohttp_jinja2.render_template("page.html", request, {
            "font_size": 16, "app_websocket_url": f"ws://{self._door.place}/ws",
            "config": {"static": {"url": static}}, "application": {"name": self.title},
        })  # fmt: skip

    async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
        """Run the command for a window; a while after the last one is closed, end."""
        self._windows += 1
        try:
            return await super().handle_websocket(request)
        finally:
            self._windows -= 1
            asyncio.get_running_loop().call_later(GRACE, self._end_if_left)

    def _end_if_left(self) -> None:
        if not self._windows:
            self._closed.set()
