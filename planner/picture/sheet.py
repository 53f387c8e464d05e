"""A reading as one picture: the stones near and from the seats, its colours side by side, its flash.

Sizes are pixels of a sheet 1280 wide; all lettering is Pillow's own font, which knows plain Latin
letters alone.
"""

import unicodedata
from functools import cache
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from planner.colour.names import family_swatch
from planner.colour.screen import lab_to_srgb, to_hex
from planner.picture.png import checked, save
from planner.picture.view import view
from planner.reading.read import Reading, Seen

WIDTH, HEIGHT, MARGIN = 1280, 920, 56
NEAR = (56, 146, 776, 480)
"""x, y, width and height of the stones at hand."""
FAR = (856, 146, 368, 240)
"""More of them, as the eye has them from the venue's distance."""
ROW = 704
"""y of the row of patches."""

_PAPER, _INK, _QUIET, _LINE = "#fbfaf8", "#1d1c1a", "#6d6963", "#d8d4cd"
_LARGE, _TEXT, _SMALL = 34, 18, 15


def write_picture(reading: Reading, path: Path) -> None:
    """Write a reading as a PNG sheet.

    Parameters
    ----------
    reading
        From `planner.reading.read.read`.
    path
        Where to; its name ends in .png, and a file of that name is replaced.

    Raises
    ------
    ValueError
        One sentence, if nothing can be written there; then nothing was.

    """
    checked(path)
    save(sheet(reading), path)


def sheet(reading: Reading) -> Image.Image:
    """Return a reading as an RGB image of `WIDTH` × `HEIGHT` pixels."""
    image = Image.new("RGB", (WIDTH, HEIGHT), _PAPER)
    draw = ImageDraw.Draw(image)
    question = reading.question
    _text(draw, (MARGIN, 44), _title(reading), _LARGE, _INK, WIDTH - 2 * MARGIN)
    place = f"{_plain(question.venue.name, question.venue.id)}   ·   {_metres(question.distance)} away"
    _text(draw, (MARGIN, 96), f"{place}   ·   {_basis(reading)}", _TEXT, _QUIET, WIDTH - 2 * MARGIN)
    near, far = _panels(image, reading)
    _text(draw, (NEAR[0], NEAR[1] + NEAR[3] + 10), f"At hand: {near:.0f} mm of cloth", _SMALL, _QUIET)
    seats = f"{far:.0f} mm from {_metres(question.distance)} away, as a good eye has it"
    _text(draw, (FAR[0], FAR[1] + FAR[3] + 10), seats, _SMALL, _QUIET, FAR[2])
    _facts(draw, reading)
    _patches(draw, reading)
    _flash(draw, reading)
    _text(draw, (MARGIN, HEIGHT - 50), " ".join(_notes(reading)), _SMALL, _QUIET, WIDTH - 2 * MARGIN)
    return image


def _title(reading: Reading) -> str:
    question = reading.question
    stone = _plain(question.stone.name, question.stone.id)
    if question.coating is None:
        return f"{stone}, uncoated, {question.size}"
    return f"{stone} with {_plain(question.coating.name, question.coating.id)}, {question.size}"


def _basis(reading: Reading) -> str:
    question = reading.question
    parts = (question.stone, question.cut, question.coating, question.venue, question.swatch, question.cloth)
    found = {part.basis for part in parts if part is not None}
    weakest = next(basis for basis in ("invented", "estimated", "measured") if basis in found)
    return f"{weakest} numbers"


def _metres(distance: float) -> str:
    return f"{distance:.3g} m"


def _panels(image: Image.Image, reading: Reading) -> tuple[float, float]:
    """Draw the stones near and far; return how many millimetres of cloth each shows."""
    near, far = (view(reading.question, *NEAR[2:], "hand"), view(reading.question, *FAR[2:], "seats"))
    for box, one in ((NEAR, near), (FAR, far)):
        image.paste(Image.fromarray(one.frame()), box[:2])
    return near.across_mm, far.across_mm


def _facts(draw: ImageDraw.ImageDraw, reading: Reading) -> None:
    x, y = FAR[0], FAR[1] + FAR[3] + 48
    drift, shift = reading.drift, reading.shift
    rows = [("Against the swatch", f"CIEDE2000 {drift.dE00:.0f}", drift.words)]
    if reading.question.coating is not None:
        rows.append(("What the coating does", f"CIEDE2000 {shift.dE00:.0f}", shift.words))
    for label, figure, words in rows:
        draw.line((x, y, x + FAR[2], y), fill=_LINE)
        _text(draw, (x, y + 10), label, _SMALL, _QUIET)
        _text(draw, (x + FAR[2] - _font(_SMALL).getlength(figure), y + 10), figure, _SMALL, _QUIET)
        _text(draw, (x, y + 32), words or "hardly any change", _TEXT, _INK, FAR[2])
        y += 70
    draw.line((x, y, x + FAR[2], y), fill=_LINE)


def _patches(draw: ImageDraw.ImageDraw, reading: Reading) -> None:
    """Draw the swatch and the seen colour edge to edge, for the eye to compare, then the others."""
    y, high, wide = ROW, 100, 188
    shown_ = [("Swatch", reading.swatch), ("Seen: what it reads as from there", reading.seen)]
    if reading.question.coating is not None:
        shown_.append(("Uncoated", reading.uncoated))
    shown_.append(("Cloth", reading.cloth))
    for number, (label, seen) in enumerate(shown_):
        x = MARGIN + number * (wide + 8) - (8 if number == 1 else 0)
        draw.rectangle((x, y, x + wide - 1, y + high - 1), fill=seen.hex, outline=None)
        _text(draw, (x, y - 25), label, _SMALL, _QUIET, wide + 6)
        _text(draw, (x, y + high + 8), seen.name, _SMALL, _INK, wide)


def _flash(draw: ImageDraw.ImageDraw, reading: Reading) -> None:
    """Draw the flash's shares by hue family: by light and by number, one bar above the other."""
    x, y, wide = FAR[0], ROW, FAR[2]
    flash = reading.flash
    if flash is None:
        _text(draw, (x, y - 25), "Flash", _SMALL, _QUIET)
        _text(draw, (x, y), "Nothing here is small and bright enough to flash.", _TEXT, _INK, wide)
        return
    _text(draw, (x, y - 25), "Flash: share of each hue, by light and by number", _SMALL, _QUIET, wide)
    for row, parts in enumerate((flash.by_luminance, flash.by_number)):
        at = float(x)
        for family, share in parts.items():
            end = at + share * wide
            box = (round(at), y + row * 27, round(end) - 1, y + row * 27 + 22)
            if box[2] > box[0]:
                draw.rectangle(box, fill=_family(family), outline=_LINE if family == "white" else None)
            at = end
    named = sorted(flash.by_number, key=lambda one: -flash.by_luminance.get(one, 0.0))
    named = [one for one in named if max(flash.by_luminance.get(one, 0.0), flash.by_number[one]) >= 0.02][:6]
    for number, family in enumerate(named):
        left, top = x + number % 2 * (wide // 2), y + 66 + number // 2 * 25
        draw.rectangle((left, top + 3, left + 11, top + 14), fill=_family(family), outline=_LINE)
        shares = f"{100 * flash.by_luminance.get(family, 0.0):.0f} / {100 * flash.by_number[family]:.0f} %"
        _text(draw, (left + 19, top), f"{family} {shares}", _SMALL, _INK, wide // 2 - 24)


@cache
def _family(family: str) -> str:
    return to_hex(lab_to_srgb(family_swatch(family))[0])


def _notes(reading: Reading) -> list[str]:
    notes = []
    if reading.flash is not None:
        stops = f"{reading.flash.stops:.0f} stops over the glow"
        notes.append(f"Flashes are drawn far dimmer than they are, {stops}.")
    named: list[tuple[str, Seen]] = [
        ("the swatch", reading.swatch), ("what is seen", reading.seen), ("the cloth", reading.cloth),
    ]  # fmt: skip
    beyond = [name for name, seen in named if not seen.in_gamut]
    if beyond:
        notes.append(f"No screen shows the true colour of {' and '.join(beyond)}; the nearest is drawn.")
    return notes


def _plain(name: str, identifier: str) -> str:
    """Return a name in letters that the font has, accents left off; else the identifier."""
    folded = unicodedata.normalize("NFKD", name)
    kept = "".join(letter for letter in folded if not unicodedata.combining(letter))
    return kept if kept.isascii() else identifier


@cache
def _font(size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(size)


def _text(
    draw: ImageDraw.ImageDraw, at: tuple[float, float], text: str, size: int, colour: str,
    width: float | None = None,
) -> None:  # fmt: skip
    """Write a line; where it is wider than `width`, smaller, and at last cut short."""
    font = _font(size)
    while width is not None and size > 12 and font.getlength(text) > width:
        size -= 1
        font = _font(size)
    if width is not None and font.getlength(text) > width:
        while text and font.getlength(text + "...") > width:
            text = text[:-1]
        text = text.rstrip() + "..."
    draw.text(at, text, font=font, fill=colour)
