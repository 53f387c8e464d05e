"""A swatch as it was taken in: what it is, how sure, what it can decide."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from planner.catalogue.palette_file import entry_data
from planner.colour.grid import WAVELENGTHS
from planner.colour.names import capped, name_of
from planner.colour.observer import illuminant
from planner.colour.screen import lab_to_srgb, to_hex
from planner.reading.drift import TOLERANCES
from planner.say.document import Document, Section, Sentence, document, section
from planner.say.question import understood
from planner.swatch.cloth import cloth_words
from planner.swatch.metamers import under
from planner.swatch.photo_file import Area
from planner.swatch.spread import half_width
from planner.swatch.taken import Taken

_LAMPS = (("A", "filament lamps"), ("FL11", "tubes"), ("LED-B3", "white LEDs"))
_OUTSIDE_DAYLIGHT = "neon cloth is known only in daylight, so nothing can be said of it there"


def swatch_document(
    swatch: Taken, *, read_in: Sequence[str] = (), photographs: Sequence[dict[str, Any]] = (),
    saved: tuple[str, Path] | None = None, where: str = "",
) -> Document:  # fmt: skip
    """Return a swatch as it was taken in.

    Parameters
    ----------
    swatch
        It.
    read_in, photographs
        Where on which photograph it was read, as sentences and as figures.
    saved, where
        The id and file in which it is kept, and a sentence on how to use it.

    """
    rgb, shown = lab_to_srgb(swatch.colour.lab)
    title = Sentence(name_of(capped(swatch.colour.lab)[0]).capitalize(), "strong", to_hex(rgb))
    beyond = "A screen cannot show this colour: go by its name and figures."
    said = [_known(swatch), f"How: {swatch.how}; {swatch.colour.basis}.", _decided(swatch),
            _elsewhere(swatch), *_worn(swatch), *([] if shown else [beyond]), *read_in]  # fmt: skip
    return document(
        "",
        [
            Section("", (title, *map(Sentence, said), *understood(swatch.notes, swatch.heard))),
            section("Next", [Sentence(where)]) if where else None,
        ],
        {**_data(swatch, saved), **({"photographs": list(photographs)} if photographs else {})},
    )


def _known(swatch: Taken) -> str:
    lightness, a, b = swatch.colour.lab
    return (
        f"L* {lightness:.1f}, a* {a:.1f}, b* {b:.1f} in daylight, known to "
        f"±{swatch.colour.uncertainty:.1f} ΔE00 (nine times in ten within {swatch.half_width:.1f})."
    )


def _decides(swatch: Taken) -> dict[str, bool]:
    """Return which tolerances the swatch is known well enough for."""
    sure = swatch.colour.uncertainty
    return {word: sure <= largest for word, largest in TOLERANCES.items() if largest is not None}


def _decided(swatch: Taken) -> str:
    can = _decides(swatch)
    if can["arm"]:
        return "That is good enough to decide a match at arm's length, and from the seats."
    if can["seats"]:
        return "That is good enough to decide a match from the seats, not at arm's length."
    return "That is too uncertain to decide a match even from the seats, but it tells one hue from another."


def _elsewhere(swatch: Taken) -> str:
    colour = swatch.colour
    if colour.fluorescent:
        return f"Under other lamps: {_OUTSIDE_DAYLIGHT}."
    if colour.recovered:
        lamps = _lamps(swatch)
        each = ", ".join(
            f"{lamps[name]['within_dE00_nine_in_ten']:.1f} under {said}" for name, said in _LAMPS
        )
        return (
            f"Under other lamps ±{colour.uncertainty_elsewhere:.1f}, since its spectrum is a guess from its "
            f"colour: nine times in ten within {each}."
        )
    return "Under other lamps it is known just as well, since its spectrum was measured."


def _worn(swatch: Taken) -> list[str]:
    """Return what sheer cloth over its backing, or a weave of two colours, looks like; else nothing."""
    worn, cloth = swatch.worn, swatch.cloth
    if cloth is None or (worn.lab == swatch.colour.lab).all():
        return []
    where = f"over {cloth_words(cloth.backing)}" if cloth.backing else "as the average of its two colours"
    lightness, a, b = worn.lab
    return [f"Worn {where}: {name_of(capped(worn.lab)[0])}, L* {lightness:.1f}, a* {a:.1f}, b* {b:.1f}."]


def read_in(path: Path, cloth: Area, white: Area, *, card: bool) -> str:
    """Return where on a photograph a cloth and its white, or its grey card, were read."""
    return (
        f"Read in {path.name}: cloth at {','.join(map(str, cloth))}, {'card' if card else 'white'} at "
        f"{','.join(map(str, white))} (x,y,w,h); correct them with --cloth and --white."
    )


def _data(swatch: Taken, saved: tuple[str, Path] | None) -> dict[str, Any]:
    colour = swatch.colour
    rgb, shown = lab_to_srgb(colour.lab)
    return {
        "schema": "planner swatch 1",
        "name": name_of(capped(colour.lab)[0]),
        "lab": list(colour.lab),
        "hex": to_hex(rgb),
        "screen_can_show_it": bool(shown),
        "uncertainty_dE00": colour.uncertainty,
        "within_dE00_nine_in_ten": swatch.half_width,
        "uncertainty_elsewhere_dE00": None if colour.fluorescent else colour.uncertainty_elsewhere,
        "covariance_lab": [list(row) for row in swatch.covariance],
        "elsewhere": _lamps(swatch),
        "basis": colour.basis,
        "spectrum_guessed": colour.recovered,
        "reflectance": [[nm, value] for nm, value in zip(WAVELENGTHS, colour.reflectance, strict=True)],
        "fluorescent": colour.fluorescent,
        "how": swatch.how,
        "cloth": None if swatch.cloth is None else entry_data(swatch.cloth),
        "worn_lab": list(swatch.worn.lab),
        "can_decide": _decides(swatch),
        "notes": list(swatch.notes),
        "saved": None if saved is None else {"id": saved[0], "file": str(saved[1])},
    }


def _lamps(swatch: Taken) -> dict[str, dict[str, Any]]:
    """Return what the swatch looks like under a few usual lamps, and how sure that is; nothing for neon."""
    if swatch.colour.fluorescent:
        return {}
    seen = {name: under(swatch.colour, illuminant(name)) for name, _ in _LAMPS}
    return {
        name: {"lab": list(lab), "within_dE00_nine_in_ten": half_width(lab, covariance)}
        for name, (lab, covariance) in seen.items()
    }
