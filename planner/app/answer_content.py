"""The answer in words: the verdict in a line, and below it as much as there is room for."""

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from planner.app.answer import SENTENCES, Answer
from planner.app.parts.tones import SIGNS, TONES, concern_text, wearer_text
from planner.assess import Guarded
from planner.reading.concern import SEVERITIES, Concern


@dataclass(frozen=True, eq=False)
class Told:
    """What the words are about: an answer or why there is none, and what concerns the wearer."""

    answer: Answer | None
    refusal: str = ""
    wearer: tuple[Guarded, ...] = ()


class VerdictLine(Widget):
    """The verdict with its mark, and how many warnings there are."""

    told: reactive[Told | None] = reactive(None)

    def render(self) -> Content:
        """Return the line."""
        if self.told is None:
            return Content.styled(" …  Working it out", "$foreground 65%")
        answer, width = self.told.answer, self.size.width
        if answer is None:
            return Content.styled(" ✗  Cannot be read", "bold $error")
        verdict = answer.verdict
        left = Content.assemble((f" {verdict.mark} ", "reverse"), f" {verdict.text}")
        left = left.stylize(TONES[verdict.tone])
        right = _counted([one for one, by in answer.concerns if by is None], sum(
            by is not None for _, by in answer.concerns
        ))  # fmt: skip
        room = width - left.cell_length - right.cell_length
        return left if room < 1 else left + " " * room + right


def _counted(standing: Sequence[Concern], accepted: int) -> Content:
    """Return how many warnings there are, by their signs, and the key that shows them."""
    parts: list[str | tuple[str, str]] = []
    for severity in SEVERITIES:
        count = sum(one.severity == severity for one in standing)
        if count:
            sign, style = SIGNS[severity]
            many = "" if count == 1 or severity == "severe" else "s"
            parts.append((f"{sign} {count} {severity}{many} ", style))
    if accepted:
        parts.append((f"✓ {accepted} accepted ", "$success"))
    if not parts:
        return Content.styled("No warnings ", "$foreground 65%")
    return Content.assemble(*parts, ("e", "bold $primary"), " ")


class Words(Widget):
    """At most three sentences, then warnings and notes as far as there is room.

    The gravest that concerns the wearer stands first of all.
    """

    told: reactive[Told | None] = reactive(None)

    def render(self) -> Content:
        """Return what there is room for; it never changes the layout."""
        if self.told is None:
            return Content("")
        width, rows = max(8, self.size.width - 1), self.size.height
        shown: list[Content] = []
        for ways in _paragraphs(self.told, spacious=rows > 2 * SENTENCES):
            high = [(one, len(textwrap.wrap(one.plain, width)) or 1) for one in ways]
            fitting = next((one for one in high if one[1] <= rows), None if shown else high[-1])
            if fitting is not None:
                shown.append(fitting[0])
                rows -= fitting[1]
        return Content("\n").join(shown)


def _paragraphs(told: Told, *, spacious: bool) -> Iterator[Sequence[Content]]:
    """Yield paragraphs, what matters most first; each in full and, where it can be cut, in fewer words."""
    severe = [one for one in told.wearer if one.standing]
    if severe:
        yield [wearer_text(severe, "Press A, then w, to see what to do.")]
    if told.answer is None:
        yield [Content(told.refusal)]
        return
    said = told.answer.short
    if spacious:
        yield from ([Content(one)] for one in said)
    else:
        # Which colours table and rim shine in can wait until there is room.
        brief = [f"{one.partition(';')[0].removesuffix('.')}." for one in said]
        yield [Content(" ".join(brief[:count])) for count in range(len(brief), 0, -1)]
    concerns = sorted(told.answer.concerns, key=lambda one: one[1] is not None)
    for number, (concern, by) in enumerate(concerns):
        if spacious and not number:
            yield [Content("")]
        if spacious or (not number and concern.severity == "severe"):
            ways = [concern_text(concern, by, full=full) for full in (True, False)]
            yield ways if spacious else ways[1:]
    for number, note in enumerate(told.answer.notes):
        if spacious and not number:
            yield [Content("")]
        first, rest, _ = note.partition(". ")
        yield [Content.styled(text, "$foreground 80%") for text in (note, f"{first}." if rest else note)]
