"""Files as nobody would write them: each kind of file that people give the planner, spoilt in its own way.

A sound file is taken and spoilt: values are swapped for nasty ones where a value stands, lines and cells are
doubled, moved or cut, bytes turned. What comes of it is read; a refusal is right, anything else a fault.
"""

import random
import re
import resource
import time
import zipfile
from collections import Counter
from dataclasses import dataclass, field
from datetime import date
from io import BytesIO
from pathlib import Path

from PIL import Image

from planner.app.drafts import _read as _read_draft
from planner.catalogue import load, read_palette_file
from planner.catalogue.errors import changed
from planner.catalogue.spectra.file import read_readings
from planner.cover.costume import outline_of
from planner.data import demo
from planner.fitting.record import read_log
from planner.job import read_job_file
from planner.lighting.measured import read_lamp_file, read_transmittance_file
from planner.order.bands import read_bands
from planner.order.heard import read_heard
from planner.order.offers_file import read_offers
from planner.order.sheet import read_sheet
from planner.order.stock import read_stock
from planner.refusal import Refusal
from planner.swatch.photo_file import open_picture

NASTY = (
    "", '""', "0", "-1", "1e999", "nan", "-inf", "1_000", "9" * 400, "[]", "{}", "[[]]", "true",
    '"\\u0000"', '"[/]"',
    "'''", '"""', "1979-05-27", "0x10", "é", "\u202e", "\ufeff", "=1+1", "@x", "a.b.c", "# x",
    '"' + "x" * 3000 + '"',
    "[" * 200, "#ffffff", "SS20", "1,5", "1.440,50", "\x1b[2J", "\x00", "{ a = 1 }", "[1, 2, 3]",
)  # fmt: skip

_VALUE = re.compile(r"(?<==)[^\n=]*|(?<=,)[^,\n]*|[^,\n]+(?=,)")


@dataclass
class Outcome:
    """What a campaign came to."""

    tried: int = 0
    refused: int = 0
    faults: Counter[str] = field(default_factory=Counter)
    slowest: tuple[float, str] = (0.0, "")

    def add(self, other: "Outcome") -> None:
        """Count another campaign's in."""
        self.tried, self.refused = self.tried + other.tried, self.refused + other.refused
        self.faults += other.faults
        self.slowest = max(self.slowest, other.slowest)

    @property
    def told(self) -> str:
        # A process that reads a workbook counts what it was copied from as well, so it is that at most.
        most, beside = (
            resource.getrusage(whose).ru_maxrss // 1024
            for whose in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
        )
        seconds, kind = self.slowest
        return (
            f"{self.tried:,} tried, {self.refused:,} refused, {sum(self.faults.values())} faults; slowest "
            f"{seconds:.2f} s ({kind}); most memory {most} MB, of what reads workbooks {beside} MB"
        )


def _text(name):
    return (demo() / name).read_bytes()


def _spectrum():
    return "nm,a,b\n" + "".join(f"{nm},{0.1 + nm / 5000:.4f},0.5\n" for nm in range(380, 790, 10))


def _cgats():
    names = " ".join(f"SPECTRAL_NM{nm}" for nm in range(380, 790, 10))
    rows = "\n".join(f"s{one} " + " ".join(["0.4"] * 41) for one in range(3))
    return f"CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID {names}\nEND_DATA_FORMAT\nBEGIN_DATA\n{rows}\nEND_DATA\n"


def _workbook():
    out = BytesIO()
    with zipfile.ZipFile(out, "w") as parts:
        parts.writestr("xl/workbook.xml", "<workbook/>")
        parts.writestr(
            "xl/worksheets/sheet1.xml", '<worksheet><sheetData><row r="1"><c r="A1"/></row></sheetData>'
        )
    return out.getvalue()


def _picture():
    out = BytesIO()
    Image.effect_noise((64, 48), 40).convert("RGB").save(out, "PNG")
    return out.getvalue()


LOG = (
    "day,kind,stone,coating,size,venue,L,a,b,seen_L,seen_a,seen_b,source,within,dE00\n"
    "2031-01-01,x,y,none,SS20,rink,1,2,3,4,5,6,typed,1,2\n"
)


HEARD = "seller,kind,written,means\nPin Rail Counter,stone,Pully blue,pulley-blue\n"

OUTLINE = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 60">
<title>A bodice</title>
<g transform="translate(1 2)"><path id="bodice" d="M0 0 L 40 0 C 40 20 35 40 30 60 L 10 60 Z"/></g>
<path id="neck" d="M10,0 Q20,12 30,0"/>
</svg>
"""


def _curve(most):
    return "nm,value\n" + "".join(f"{nm},{most * (nm - 300) / 500:.3f}\n" for nm in range(380, 785, 5))


def kinds():
    """Return each kind of file: its name, a sound one, and what reads it."""
    palette = load(demo())
    offers = {"palette": palette, "today": date(2031, 1, 1), "currency": "EUR", "others": ("GBP",)}
    stock = '[[lot]]\nstone = "pulley-blue"\nsize = "SS20"\ncount = 100\nnote = "x"\n'
    job = read_job_file(demo() / "jobs" / "hoop-second-half.toml").job
    found = [(one.name, one.read_bytes(), read_palette_file) for one in sorted(demo().glob("*.toml"))]
    return [
        *found,
        ("job.toml", _text("jobs/hoop-second-half.toml"), read_job_file),
        ("offers.csv", _text("offers.csv"), lambda path: read_offers(path, **offers)),
        ("bands.csv", _text("price_bands.csv"), read_bands),
        ("stock.toml", stock.encode(), lambda path: read_stock(path, palette)),
        ("cloth.csv", _spectrum().encode(), read_readings),
        ("cloth.txt", _cgats().encode(), read_readings),
        ("book.xlsx", _workbook(), read_sheet),
        ("cloth.png", _picture(), open_picture),
        ("log.csv", LOG.encode(), read_log),
        ("sellers_words.csv", HEARD.encode(), read_heard),
        (
            "outline.svg",
            OUTLINE.encode(),
            lambda path: outline_of(changed(job, {"outline": path.name}), path.parent),
        ),
        ("lamp.csv", _curve(1).encode(), read_lamp_file),
        ("filter.csv", _curve(0.9).encode(), read_transmittance_file),
        ("draft.toml", _text("jobs/hoop-second-half.toml"), _read_draft),
    ]


def spoilt(data: bytes, chance: random.Random) -> bytes:
    """Return a file spoilt in one to four ways."""
    for _ in range(chance.randint(1, 4)):
        data = _spoilt_once(data, chance)
    return data


def _spoilt_once(data: bytes, chance: random.Random) -> bytes:
    way = chance.randrange(7)
    if way <= 2:
        text = data.decode("utf-8", "surrogateescape")
        places = list(_VALUE.finditer(text))
        if places:
            at = chance.choice(places)
            text = text[: at.start()] + chance.choice(NASTY) + text[at.end() :]
        return text.encode("utf-8", "surrogateescape")
    lines = data.splitlines(keepends=True) or [b""]
    at = chance.randrange(len(lines))
    if way == 3:
        return b"".join([*lines[:at], lines[at] * chance.choice((0, 2, 50)), *lines[at + 1 :]])
    if way == 4:
        chance.shuffle(lines)
        return b"".join(lines)
    if way == 5:
        return data[: chance.randrange(len(data) + 1)]
    turned = bytearray(data or b"\0")
    for _ in range(chance.randint(1, 8)):
        turned[chance.randrange(len(turned))] = chance.randrange(256)
    return bytes(turned)


def campaign(folder: Path, rounds: int, seed: int, *, books: bool = True) -> Outcome:
    """Read `rounds` spoilt files, written into `folder`; without `books` no workbook is among them."""
    chance, outcome = random.Random(seed), Outcome()  # noqa: S311 - no secret hangs on it
    every = [one for one in kinds() if books or not one[0].endswith("xlsx")]
    for number in range(rounds):
        name, sound, read = every[number % len(every)]
        path = folder / name
        path.write_bytes(spoilt(sound, chance))
        begun = time.perf_counter()
        outcome.tried += 1
        try:
            read(path)
        except Refusal as problem:
            outcome.refused += 1
            if "\n" in str(problem) or len(str(problem)) > 2000:
                outcome.faults[f"{name}: the sentence is {len(str(problem))} letters long"] += 1
        except Exception as problem:  # noqa: BLE001 - that is what is counted
            outcome.faults[f"{name}: {type(problem).__name__}: {str(problem)[:120]} (round {number})"] += 1
        outcome.slowest = max(outcome.slowest, (time.perf_counter() - begun, name))
    return outcome
