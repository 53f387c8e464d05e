"""The interface in a browser's window: who is let in, where it is served, when it ends, without a browser."""

import asyncio
import json
import shlex
import sys
from pathlib import Path

import pytest
from reference import aiohttp
from textual.messages import ExitApp

from planner.app.browser import serve
from planner.app.browser.door import Door
from planner.app.browser.server import WindowServer
from planner.app.drafts import Drafts
from planner.refusal import Refusal

SAYS = """
import json, struct, sys
print("__GANGLION__", flush=True)
def send(kind, what):
    sys.stdout.buffer.write(kind + struct.pack(">I", len(what)) + what)
    sys.stdout.buffer.flush()
send(b"D", b"hello from inside")
while (head := sys.stdin.buffer.read(5)):
    what = sys.stdin.buffer.read(struct.unpack(">I", head[1:])[0])
    if head[:1] == b"M" and json.loads(what)["type"] == "quit":
        break
    send(b"D", b"heard " + what)
"""
"""Stands in for the interface: speaks as Textual does to what serves it."""


def test_a_token_opens_the_door_once_and_nothing_else_does():
    door = Door("127.0.0.1:8040")
    assert door.refuses(door.place, door.key, None), "nobody is in before the link was opened"
    assert not door.enters("")
    assert not door.enters("é")
    assert door.enters(door.token)
    assert not door.enters(door.token)
    assert door.refuses(door.place, door.key, None) is None
    assert door.refuses(door.place, door.key, f"http://{door.place}") is None
    assert "Another site" in door.refuses(door.place, door.key, "http://elsewhere.example")
    assert door.refuses("elsewhere.example:8040", door.key, None)
    assert "opens once" in door.refuses(door.place, "", None)


def test_tokens_differ_and_are_long():
    doors = [Door("127.0.0.1:1") for _ in range(50)]
    assert len({one.token for one in doors} | {one.key for one in doors}) == 100
    assert all(len(one.token) >= 40 for one in doors)


def test_it_is_served_on_this_computer_alone_unless_an_address_is_named():
    with serve.bound(None) as here:
        assert here.getsockname()[0] == "127.0.0.1"
    for wrong in ("everywhere", "0.0.0.0", "::", "203.0.113.7"):  # noqa: S104 - it is to be refused
        with pytest.raises(Refusal, match="--address"):
            serve.bound(wrong)


def test_the_command_survives_spaces():
    parts = shlex.split(serve.command(Path("my jobs/hoop act.toml"), Path("a b")))
    assert parts == [sys.executable, "-m", "planner", "open", "my jobs/hoop act.toml", "--palettes", "a b"]


def test_without_the_extra_one_sentence_says_so(monkeypatch):
    monkeypatch.setitem(sys.modules, "planner.app.browser.server", None)
    with pytest.raises(Refusal, match=r"pip install '\.\[browser\]'"):
        serve.in_browser(None, None, None, print)


def served(story, monkeypatch, *, grace=0.05):
    """Serve what only says hello, and run a story beside it; it must have ended when the story has."""
    monkeypatch.setattr("planner.app.browser.server.GRACE", grace)

    async def both():
        with serve.bound(None) as listening:
            door = Door("{}:{}".format(*listening.getsockname()))
            server = WindowServer(shlex.join([sys.executable, "-c", SAYS]), door)
            ready = asyncio.Event()
            serving = asyncio.create_task(server.run(listening, ready.set))
            await ready.wait()
            async with aiohttp.ClientSession(cookie_jar=aiohttp.CookieJar(unsafe=True)) as browser:
                await story(door, browser)
            await asyncio.wait_for(serving, 20)

    asyncio.run(both())


def test_a_window_is_served_to_whoever_has_the_link_and_closed_with_it(monkeypatch):
    async def story(door, browser):
        home = f"http://{door.place}"
        for way in ("/", "/ws", "/static/js/textual.js", "/?token=guess"):
            async with browser.get(home + way) as answer:
                assert answer.status == 403, way
        async with browser.get(door.link) as answer:
            page = await answer.text()
            assert answer.status == 200
            assert str(answer.url) == f"{home}/", "the token stays in no history"
            assert "default-src 'self'" in answer.headers["Content-Security-Policy"]
        assert page.count("http") == page.count(home), "nothing is fetched from elsewhere"
        async with aiohttp.ClientSession() as another, another.get(door.link) as answer:
            assert answer.status == 403
            assert "opens once" in await answer.text()
        async with browser.get(home, headers={"Host": "elsewhere.example"}) as answer:
            assert answer.status == 403
        with pytest.raises(aiohttp.WSServerHandshakeError):
            await browser.ws_connect(f"{home}/ws", origin="http://elsewhere.example")
        async with browser.ws_connect(f"{home}/ws", origin=home) as window:
            assert (await window.receive()).data == b"hello from inside"
            await window.send_str(json.dumps(["stdin", "k"]))
            assert (await window.receive()).data == b"heard k"

    served(story, monkeypatch)


def test_a_page_may_be_loaded_anew(monkeypatch):
    async def story(door, browser):
        async with browser.get(door.link):
            pass
        for _ in range(2):
            async with browser.ws_connect(f"http://{door.place}/ws") as window:
                assert (await window.receive()).data == b"hello from inside"

    served(story, monkeypatch, grace=1.0)


def test_closing_the_window_keeps_unsaved_work_once(make_app, play, tmp_path):
    app = make_app()

    async def story(pilot, _settle):
        app.apply(app.state.with_job(title="Not saved"))
        app.post_message(ExitApp())
        await pilot.pause(0.3)

    play(app, story)
    assert [one.job.title for one in Drafts(tmp_path / "drafts").left()] == ["Not saved"]
