"""A newcomer at a terminal: from empty folders to a reading, a ranking, an order and a client's page.

Nothing is pressed but what the words on the screen name; before each key the script looks for those words. It
runs the planner in tmux, at 80 by 24 and at 120 by 40, with the keyboard alone, and prints how many keys that
took, how long, and how often something was refused. ``--texts FILE`` writes down what stood on the screen at
every step. It gates nothing, but it ends with the step at which the words for the next one are missing.

    python tests/speed/newcomer.py [--texts FILE] [--patience SECONDS]
"""

import argparse
import os
import shlex
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

SIZES = ((80, 24), (120, 40))
SOCKET = f"newcomer-{os.getpid()}"

OFFERS = """\
Shop;Colour name;What they call it;Size;How many;Price;Ships in;Send back?;Stuff
Corner Shop;Royal blue;Royal blue AB;SS16;1 gross (144);13,90;5 days;14 days;glass
Corner Shop;royal blue;Royal blue AB flatback;20;1 gross (144);14,90;5;14;glass
Corner Shop;Royal Blue;Royal blue plain;SS20;144;11,50;5;14;glass
Market Table;Royal blue;Royal blue AB;20;10gr;121,00;7;30 days;glass
Market Table;royal blue;Royal blue AB;SS16;ca. 1400;96,00;7;30;glass
Market Table;Royal blu;royal blu, no coating;SS20;1440;79,00;10;30;glass
Bead Barn;Sapphire;Sapphire AB;SS20;144 pcs;12,00;5;no;
Bead Barn;Deep saphire blue;deep saphire AB;SS16;2gr;24,50;5;no;glass
Bead Barn;Deep sapphire blue;deep sapphire;SS20;1440;82,00;5;no;glass
Market Table;Dusty wine red;dusty wine AB;ss12;10 gross;88,00;7;30 days;glass
Market Table;wine red dusty;wine red;SS20;144;9,90;7;30;glass
Bargain Bin;Mystery;mixed bag;SS16;1000;20,00;20;no;
"""
"""Twelve lines as they are pasted from shops' pages: untidy headings, counts, names."""


class Stuck(SystemExit):
    """The words for the next step are not on the screen."""


class Newcomer:
    """Somebody who reads the screen and presses what it says."""

    def __init__(self, wide: int, high: int, folder: Path, patience: float) -> None:
        self.keys, self.refused, self.texts, self.patience = 0, 0, [], patience
        self.slowest = ("", 0.0)
        for name in ("work", "data", "cache", "config", "state"):
            (folder / name).mkdir(parents=True)
        cloth(folder / "work" / "sash.jpg")
        (folder / "work" / "offers.csv").write_text(OFFERS, encoding="utf-8")
        own = {
            f"XDG_{name.upper()}_HOME": str(folder / name) for name in ("data", "cache", "config", "state")
        }
        own |= {"COLORTERM": "truecolor", "LANG": "C.UTF-8", "PYTHONPATH": os.environ.get("PYTHONPATH", "")}
        given = " ".join(f"{name}={shlex.quote(value)}" for name, value in own.items())
        run = f"cd {shlex.quote(str(folder / 'work'))} && {given} {sys.executable} -m planner"
        self._tmux("new-session", "-d", "-x", str(wide), "-y", str(high), f"{run}; sleep 9999")
        self.started = time.monotonic()

    def _tmux(self, *words: str) -> str:
        return subprocess.run(
            ["tmux", "-L", SOCKET, *words], check=True, capture_output=True, text=True
        ).stdout  # fmt: skip

    def screen(self) -> str:
        return self._tmux("capture-pane", "-p")

    def flat(self) -> str:
        """Return the screen as one line, whatever lies over what."""
        return " ".join(self.screen().split())

    def sees(self, *words: str, within: float | None = None) -> str:
        """Wait until all words are on the screen, and return it; it is never left blank meanwhile."""
        begun = time.monotonic()
        limit = self.patience if within is None else within
        while True:
            text = self.screen()
            flat = read(text)
            if all(word in flat for word in words):
                took = time.monotonic() - begun
                if took > self.slowest[1]:
                    self.slowest = (words[0], took)
                return text
            if time.monotonic() - begun > limit:
                self.close()
                raise Stuck(f"after {self.keys} keys, not on the screen: {words}\n{text}")
            time.sleep(0.1)

    def does(self, *keys: str) -> None:
        for key in keys:
            self.texts.append(f"--- {key}\n{self.screen()}")
            self._tmux("send-keys", key)
            self.keys += 1
            time.sleep(0.15)

    def types(self, text: str) -> None:
        self._tmux("send-keys", "-l", text)
        self.keys += len(text)
        time.sleep(0.5)

    def confirms(self, then: str) -> None:
        """Press Enter, and once more where the screen asks whether that is right."""
        self.does("Enter")
        begun, asked = time.monotonic(), False
        while then not in (flat := self.flat()) or "Enter keeps" in flat:
            text = self.screen()
            if not asked and "Enter once more" in read(text):
                self.does("Enter")
                asked = True
            self.refused += text.count("✗")
            if time.monotonic() - begun > self.patience:
                self.close()
                raise Stuck(f"not kept: {then}\n{text}")
            time.sleep(0.3)

    def close(self) -> None:
        subprocess.run(["tmux", "-L", SOCKET, "kill-server"], check=False, capture_output=True)


def read(text: str) -> str:
    """Return what is on a screen as it is read: what lies over it first, line by line, then all of it."""
    over = [line.split("│")[1] for line in text.splitlines() if line.count("│") > 1]
    return f"{' '.join(' '.join(over).split())} {' '.join(text.replace('│', ' ').split())}"


def cloth(path: Path) -> None:
    """Write a photograph of blue cloth on white paper."""
    random = np.random.default_rng(1)
    pixels = np.full((600, 800, 3), (236.0, 233.0, 228.0))
    pixels[150:450, 200:600] = (28.0, 58.0, 150.0)
    pixels += random.normal(0.0, 2.0, pixels.shape)
    Image.fromarray(pixels.clip(0, 255).astype(np.uint8)).save(path, quality=92)


def stones(one: Newcomer) -> None:
    one.sees("New costume", "n New costume")
    one.does("n")
    one.sees("press a to add one", "a Add a stone of mine")
    for number, name in enumerate(("Royal blue", "Deep sapphire blue", "Dusty wine red")):
        one.does("a")
        one.sees("What you call it", "↑ ↓ to the other lines", "Enter keeps")
        one.types(name)
        one.does("Down")
        one.sees("Empty: as the name says")
        one.does("Down")
        one.sees("All at once: SS12 16 20 30")
        one.types("SS12 16 20")
        one.confirms("a adds another")
        one.sees(name, *(("h shows them",) if number == 0 else ()))
    one.sees("Tab shows coatings such as AB")
    one.does("Tab")
    one.sees("press a to add one, beginning as AB")
    one.does("a")
    one.sees("By which you buy it")
    one.types("Market AB")
    one.confirms("Esc goes on with the costume")


def swatch_and_hall(one: Newcomer) -> None:
    one.sees("Esc goes on with the costume")
    one.does("Escape")
    one.sees("What must the stones match?", "From a photograph", "Another way")
    ways = ("From the palette", "By name or digits", "By eye", "From a photograph")
    now = next(at for at, way in enumerate(ways) if f"▸{way}" in one.screen())
    for way in ways[now + 1 :]:
        one.does("C-n")
        one.sees(f"▸{way}")
    one.sees("photograph: type or choose")
    one.types("sash")
    one.sees("sash.jpg")
    one.does("Enter")
    one.sees("ecide", "⏎ Take it")
    one.does("Enter")
    one.sees("What do you call it?", "Enter Keep it")
    one.types("My sash")
    one.does("Enter")
    one.sees("Seen in", "↑ ↓ to the other lines")
    one.does("Down")
    one.sees("In your words", "school hall, stage lights")
    one.types("school hall, light walls, stage lights")
    one.sees("A hall lit by halogen")
    one.does("Enter")
    one.sees("Working it out", within=5.0)


def reading_and_ranking(one: Newcomer) -> None:
    one.sees("On this costume", "From 12 m", "p Pairings")
    assert "Royal blue" in one.screen()
    one.does("p")
    text = one.sees("Best for your wish first", "Esc Back")
    rows = [line for line in text.splitlines() if "/10" in line]
    assert rows, text
    assert all(any(name in row for name in ("Royal", "Deep", "Dusty")) for row in rows), text
    one.does("Escape")


def areas(one: Newcomer) -> None:
    one.sees("A Areas")
    one.does("A")
    one.sees("Press a to add the first")
    one.does("a")
    one.sees("Still to be filled in: Width, cm, Height, cm, Spacing, mm")
    one.types("Bodice")
    for label, text in (
        ("Shape", ""),
        ("Width, cm", "20"),
        ("Height, cm", "15"),
        ("Pattern", ""),
        ("Spacing", "10"),
    ):
        one.sees(label)
        one.does("Down")
        if text:
            one.types(text)
    one.sees("346 stones", "Enter keeps")
    one.does("Enter")
    one.sees("2 gross + 100 with spares", "Esc Back")
    one.does("Escape")


def order(one: Newcomer) -> None:
    one.sees("f Order")
    one.does("f")
    one.sees("No offers yet. Press f")
    one.does("f")
    one.sees("The file of offers", "Enter chooses")
    one.types("offers")
    one.sees("offers.csv")
    one.does("Enter")
    one.sees("Corner Shop", "Tab Next page")
    one.does("Tab")
    one.sees("Understood", "How many → count")
    if "y confirms" in one.flat():
        one.does("y")
        one.sees("Is all of that right?", "Remember it")
        one.does("Enter")
    one.does("Tab")
    one.sees("Order on", "Covered")
    one.does("Escape")


def page(one: Newcomer, folder: Path) -> None:
    one.sees("B Page")
    one.does("B")
    one.sees("t Text", "How the stones will look")
    text = one.screen().lower()
    assert "invented" not in text, text
    one.does("t")
    one.sees("Name of the file", "Go on")
    one.does("Enter")
    one.sees("Saved")
    (saved,) = [path for path in (folder / "work").iterdir() if path.suffix in {".txt", ".md"}]
    assert "invented" not in saved.read_text(encoding="utf-8").lower(), saved


def main() -> None:
    """Be a newcomer at both sizes."""
    given = argparse.ArgumentParser()
    given.add_argument("--texts", type=Path)
    given.add_argument("--patience", type=float, default=120.0)
    given.add_argument("--size", type=int, choices=(0, 1))
    asked = given.parse_args()
    told = []
    for wide, high in SIZES if asked.size is None else (SIZES[asked.size],):
        with tempfile.TemporaryDirectory() as name:
            one = Newcomer(wide, high, Path(name), asked.patience)
            try:
                for step in (stones, swatch_and_hall, reading_and_ranking, areas, order):
                    step(one)
                page(one, Path(name))
                took = time.monotonic() - one.started
                one.texts.append(one.screen())
                print(
                    f"{wide} × {high}: {one.keys} keys, {took:.0f} s, {one.refused} refusals; "
                    f"the longest wait was {one.slowest[1]:.0f} s, for “{one.slowest[0]}”"
                )
            finally:
                told += [f"===== {wide} × {high} =====", *one.texts]
                if asked.texts:
                    asked.texts.write_text("\n".join(told), encoding="utf-8")
                one.close()


if __name__ == "__main__":
    main()
