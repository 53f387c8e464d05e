"""Signs and colours of warnings and answers, and a warning as a paragraph."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from textual.content import Content

from planner.assess import Guarded
from planner.job.model import Acceptance
from planner.reading.concern import Concern, Severity
from planner.say.names import cut_short

if TYPE_CHECKING:
    from planner.say.document import Tone

SIGNS: Final[dict[Severity, tuple[str, str]]] = {
    "severe": ("▲", "$error"),
    "caution": ("●", "$warning"),
    "note": ("·", "$secondary"),
}
"""Sign and colour of each severity; its word is its name."""

TONES: Final[dict["Tone", str]] = {
    "plain": "", "quiet": "$foreground 65%", "strong": "bold", "good": "bold $success", "bad": "bold $error",
    "unsure": "bold $warning",
}  # fmt: skip


def concern_text(concern: Concern, by: Acceptance | None, *, full: bool) -> Content:
    """Return a warning with who accepts it; with `full`, what to do about it as well."""
    sign, style = SIGNS[concern.severity]
    said = f"{concern.text} {concern.do}" if full else concern.text
    if by is None:
        return Content.assemble((f"{sign} {concern.severity}: ", f"bold {style}"), said)
    return Content.assemble(
        (f"✓ accepted by {by.who}: {by.why}", "$success"),
        (f" ({concern.severity}: {said})", "$foreground 65%"),
    )


def wearer_text(found: Sequence[Guarded], more: str) -> Content:
    """Return the gravest caution for the wearer in one paragraph, and where the rest is."""
    if not found:
        return Content("")
    sign, style = SIGNS["severe"]
    gravest, others = cut_short(found, 1)
    rest = f"{others}. {more}" if others else more
    return Content.assemble(
        (f"{sign} severe for the wearer: ", f"bold {style}"), gravest[0].caution.text,
        (f" {rest}", TONES["quiet"]),
    )  # fmt: skip
