"""One pairing read in full, flash and warnings, and put into the words of a row."""

from dataclasses import dataclass
from typing import Final

from planner.app.parts.told import SIGNS
from planner.reading.matter import QUICK
from planner.reading.phrase import share
from planner.reading.question import Question
from planner.reading.read import read
from planner.reading.sentence import sentence
from planner.reading.warn import SEVERITIES, Concern, warnings

NO_FLASH: Final = "no sparkle"

SHORT: Final = {
    "glow-drifts": "too far off",
    "hardly-stands-out": "too alike",
    "flash-off-hue": "odd sparkle",
    "lots-straddle": "batches vary",
    "breaks-elsewhere": "fails afar",
    "lightness-apart": "looks dotted",
    "sizes-differ": "sizes differ",
    "shows-cloth": "cloth shows",
    "swatch-unsure": "swatch vague",
    "screen-cannot-show": "screen fails",
}
"""Each warning in a few words that fit a narrow column, by its code."""


@dataclass(frozen=True)
class Look:
    """What a full reading adds to a ranked pairing."""

    sentence: str
    flash: str
    """Dominant flash: "half green"; `NO_FLASH` where there is none."""
    family: str | None
    """Its hue family."""
    flash_share: float
    """Its share by luminance, 0 to 1."""
    concerns: tuple[Concern, ...]
    """Gravest first."""

    @property
    def warning(self) -> str:
        """The worst warning as mark and words; "none" without any."""
        if not self.concerns:
            return "  none"
        worst = self.concerns[0]
        return f"{SIGNS[worst.severity][0]} {SHORT[worst.code]}"

    @property
    def severe(self) -> bool:
        """Whether the worst warning is a severe one."""
        return bool(self.concerns) and self.concerns[0].severity == "severe"

    @property
    def gravity(self) -> tuple[int, str, int]:
        """By which warnings are sorted: none first, then notes, cautions and severe ones."""
        if not self.concerns:
            return -1, "", 0
        worst = self.concerns[0]
        return len(SEVERITIES) - SEVERITIES.index(worst.severity), worst.code, len(self.concerns)


def look_at(question: Question) -> Look:
    """Read a pairing at a first look's accuracy."""
    reading = read(question, QUICK)
    concerns = warnings(reading)
    if reading.flash is None:
        return Look(sentence(reading), NO_FLASH, None, 0.0, concerns)
    main = reading.flash.main
    amount = reading.flash.by_luminance[main]
    words = f"{share(amount).removeprefix('about ')} {main}"
    return Look(sentence(reading), words, main, amount, concerns)
