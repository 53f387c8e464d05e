"""A brief as the template takes it: every word chosen, every figure written, nothing set yet.

What is returned is plain data (dicts, lists, texts, numbers). It reaches the template as JSON and is set
as text, so that nothing in a name or a note can be taken for markup.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from planner.assess import LineAssessed
from planner.brief.gather import Gathered
from planner.brief.practical import cautioned, millimetres, needed, sizes
from planner.brief.quoting import quote
from planner.brief.strips import strip, way
from planner.brief.warning_rows import warned, warned_together
from planner.brief.wording import Wording
from planner.catalogue.fields import Entry
from planner.reading.concern import Elsewhere
from planner.reading.instead import Instead, same_pairing
from planner.reading.read import Reading, Seen

MOST_ELSEWHERE = 3
"""Other venues told one by one."""

MOST_NAMED = 3
"""Names of what is invented, of one kind."""


@dataclass(frozen=True)
class Room:
    """How much a brief has room for; the first that fits is taken."""

    full: int
    """Pairings with pictures."""
    rows: int
    """Rows of the table of the others."""
    instead: int = 2
    """Pairings told that were considered, beside the first one."""
    size: Literal["roomy", "usual", "tight"] = "usual"
    """How large letters and patches are."""
    reasons: bool = True
    """Whether it is told why warnings were accepted, beside by whom."""
    pages: int = 2
    """That it is to fit on."""
    least: int = 38
    """Height of a picture, mm, below which it does not fit; above, pictures take what the words leave."""
    most: int = 80
    """Height beyond which they take no more."""


ROOMS = (
    Room(2, 14, size="roomy", pages=1, least=56), Room(2, 14, pages=1, least=48),
    Room(2, 14, size="tight", pages=1, least=40), Room(2, 14, 1, size="tight", pages=1, least=33),
    Room(2, 14, 3, size="roomy", most=136), Room(2, 14, 3, size="roomy"), Room(2, 14), Room(2, 9),
    Room(2, 5, 1), Room(2, 2, 0, size="tight"),
    Room(1, 14), Room(1, 8, 1), Room(1, 4, 1), Room(1, 0, 1, size="tight"),
    Room(1, 0, 0, size="tight", reasons=False, least=24),
)  # fmt: skip
"""Roomiest first."""


def in_full(told: Gathered) -> list[LineAssessed]:
    """Return the pairings that have pictures: those asked for, or the first and what is safer."""
    return [*told.lines[: told.full], *([told.safe] if told.safe else [])]


def content(told: Gathered, words: Wording, room: Room, *, note: bool = False) -> dict[str, Any]:
    """Return everything on the page.

    Parameters
    ----------
    told
        The job, read.
    words
        The language.
    room
        How much there is room for.
    note
        Whether the job's note is told: it may have been the maker's own.

    """
    job, say = told.job, words.say.say
    blocks = in_full(told)[: room.full]
    others = told.lines[len([one for one in blocks if one.number]) :]
    rows, rest = others[: room.rows], others[room.rows :]
    first = told.lines[0].reading
    roles = ("loved", "safe") if len(blocks) == 2 and len(told.asked) < 2 else ("", "")
    shown = [
        _block(one, _beside(told, one), words, room, many=len(told.lines) > 1, role=role)
        for one, role in zip(blocks, roles, strict=False)
    ]
    both = _said_once(shown)
    return {
        "language": words.say.code,
        "region": words.figures.locale.territory,
        "rtl": words.say.rtl,
        "paper": job.paper,
        "size": room.size,
        "title": job.title,
        "label": say("page", "label"),
        "facts": _facts(told, words),
        "intro": say("page", "intro"),
        "intro_plain": say("page", "intro_plain"),
        "band": [first.swatch.hex, first.seen.hex],
        "target": room.pages,
        "least": room.least,
        "most": room.most,
        "blocks": shown,
        "warnings_both": both,
        "costume": _costume(told, words),
        "table": _table(rows, rest, words),
        "warnings_rest": warned_together(rest, words),
        "sizes": sizes(told, words),
        "need": needed(told, words),
        "quote": quote(told, words) if told.quote else None,
        "cautions": cautioned(told, words, reasons=room.reasons),
        "note": {"title": say("page", "note"), "text": job.note} if note and job.note else None,
        "limits": [say("page", "limits"), *_beyond(told, words)],
        "phone": say("page", "phone", len(told.cautions), count=words.figures.number(len(told.cautions))),
        "experts": _experts(blocks, words),
        "invented": _invented(told, words),
        "sign": {key: say("sign", key) for key in ("title", "text", "name", "date")},
        "pages": words.say.entries["page"]["pages"],
    }  # fmt: skip


def _facts(told: Gathered, words: Wording) -> list[list[str]]:
    job, say, question = told.job, words.say.say, told.lines[0].reading.question
    far = words.figures.length(question.distance, "meter", 1)
    given = [
        ("event", words.figures.day(job.event) if job.event else ""),
        ("client", job.client),
        ("maker", job.maker),
        ("seen", say("page", "seen_from", venue=question.venue.name, distance=far)),
    ]
    return [[say("page", key), value] for key, value in given if value]


def _block(
    told: LineAssessed, others: Sequence[Instead], words: Wording, room: Room, *, many: bool, role: str
) -> dict[str, Any]:
    """Return one pairing in full; `role` says which of two it is."""
    reading, say = told.reading, words.say.say
    pairing = words.pairing_of(reading)
    question = reading.question
    far, venue = words.figures.length(question.distance, "meter", 1), question.venue.name
    considered = [words.instead(one) for one in others[: room.instead]]
    return {
        "number": told.number,
        "role": say("page", role) if role else "",
        "heading": say("pairing", "heading", number=str(told.number), pairing=pairing)
        if many and told.number else pairing,
        "size": say("pairing", "size", size=question.size, mm=millimetres(question.millimetres, words)),
        "pictures": [
            {"file": f"{told.number}-{key}.png", "caption": say("picture", key, distance=far, venue=venue),
             "alt": say("picture", f"{key}_alt", pairing=pairing, venue=venue, distance=far)}
            for key in ("seats", "hand")
        ],
        "patches": _patches(reading, words),
        "way": way(reading, words),
        "strip": strip(reading, words),
        "verdict": words.verdict(reading),
        "holds": told.verdict.holds,
        "says": [one for one in _says(reading, words) if one],
        "sure": words.sure(reading),
        "warnings": warned(told, words, reasons=room.reasons),
        "elsewhere": {"title": say("elsewhere", "title"), "items": _elsewhere(told, words)},
        "instead": {
            "title": say("instead", "title"),
            "items": considered or ([say("instead", "none")] if told.number and not others else []),
        },
    }  # fmt: skip


def _beside(told: Gathered, one: LineAssessed) -> list[Instead]:
    """Return what else was looked at; what stands beside it in full is not told again."""
    return [
        other
        for other in told.instead.get(one.number, ())
        if told.safe is None or not same_pairing(other.reading.question, told.safe.reading.question)
    ]


def _said_once(shown: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the warnings that two pairings share, taken from both of them: they are said once."""
    if len(shown) < 2:
        return []
    one, other = (block["warnings"] for block in shown)
    both = [each for each in one if each in other]
    for block in shown:
        block["warnings"] = [each for each in block["warnings"] if each not in both]
    return both


def _costume(told: Gathered, words: Wording) -> dict[str, Any] | None:
    """Return the whole costume's picture: its name, its words and how wide it is over high."""
    if told.dress is None:
        return None
    least, most = told.dress.outline.box
    across, down = (float(one) for one in most - least)
    far = words.figures.length(told.lines[0].reading.question.distance, "meter", 1)
    count = words.figures.number(len(told.dress.centres))
    values = {"distance": far, "count": count}
    return {
        "file": "costume.png",
        "wide": across / down,
        "caption": words.say.say("picture", "costume", **values),
        "alt": words.say.say("picture", "costume_alt", **values),
    }


def _experts(blocks: Sequence[LineAssessed], words: Wording) -> str:
    """Return the figures, in one line at the foot."""
    number, say = words.figures.number, words.say.say

    def lab(one: Seen) -> str:
        return " ".join(number(value) for value in one.lab)

    first = blocks[0].reading
    stones = [
        say("page", "expert", pairing=words.pairing_of(one.reading), lab=lab(one.reading.seen),
            drift=number(one.reading.drift.dE00))
        for one in blocks
    ]  # fmt: skip
    return say("page", "experts", swatch=lab(first.swatch), stones=words.say.join(stones))


def _says(reading: Reading, words: Wording) -> tuple[str, ...]:
    """Return what the stone does and how it stands to the swatch and its cloth; some may be empty."""
    return words.coating(reading), words.sparkle(reading), words.match(reading), words.kinds(reading)


def _patches(reading: Reading, words: Wording) -> dict[str, Any]:
    say = words.say.say
    named = {"swatch": reading.swatch, "glow": reading.seen}
    names = {key: words.colour(one.name) for key, one in named.items()}
    return {
        "alt": say("patch", "alt", **names),
        "items": [
            {"hex": one.hex, "label": say("patch", key), "name": words.say.begin(names[key])}
            for key, one in named.items()
        ],
    }  # fmt: skip


def _elsewhere(told: LineAssessed, words: Wording) -> list[dict[str, Any]]:
    """Return the other venues, those where it fails first; of many, some and a count of the rest.

    One that a warning tells of is not told again.
    """
    warned_of = {one.figures.get("venue") for one, _ in told.concerns if one.code == "breaks-elsewhere"}
    order = sorted(
        (one for one in told.elsewhere if one.venue.name not in warned_of), key=lambda one: one.holds
    )
    shown: Sequence[Elsewhere] = order[:MOST_ELSEWHERE]
    items = [
        {"swatch": one.swatch.hex, "glow": one.seen.hex, "text": words.there(told, one)} for one in shown
    ]
    left = order[MOST_ELSEWHERE:]
    if left:
        text = words.say.say(
            "elsewhere", "more", len(left), count=words.figures.number(len(left)),
            holding=words.figures.number(sum(one.holds for one in left)),
        )  # fmt: skip
        items.append({"swatch": "", "glow": "", "text": text})
    return items


def _table(
    rows: Sequence[LineAssessed], rest: Sequence[LineAssessed], words: Wording
) -> dict[str, Any] | None:
    if not rows and not rest:
        return None
    say = words.say.say
    return {
        "title": say("table", "title"),
        "head": [say("table", key) for key in ("number", "colours", "pairing", "reads", "says")],
        "rows": [
            {
                "number": str(one.number),
                "swatch": one.reading.swatch.hex,
                "glow": one.reading.seen.hex,
                "pairing": words.pairing_of(one.reading),
                "size": one.reading.question.size,
                "reads": words.colour(one.reading.seen.name),
                "says": words.verdict(one.reading),
                "warnings": warned(one, words),
            }
            for one in rows
        ],
        "more": say(
            "table", "more", len(rest), count=words.figures.number(len(rest)),
            numbers=words.numbers([one.number for one in rest]),
        ) if rest else "",
    }  # fmt: skip


def _beyond(told: Gathered, words: Wording) -> list[str]:
    """Say which colours the page cannot show."""
    beyond = [
        words.colour(one.name)
        for line in (*told.lines, *([told.safe] if told.safe else []))
        for one in (line.reading.swatch, line.reading.seen)
        if not one.in_gamut
    ]
    named = list(dict.fromkeys(beyond))[:4]
    return [words.say.say("page", "beyond", what=words.say.listed(named))] if named else []


def _invented(told: Gathered, words: Wording) -> dict[str, str] | None:
    """Return the mark on a brief some of whose numbers are made up, and of what; a person's own is not."""
    every = [*told.lines, *([told.safe] if told.safe else [])]
    questions = [one.reading.question for one in every]
    there = [place.venue for one in every for place in one.elsewhere]
    named: dict[str, Sequence[Entry]] = {
        "stone": [q.stone for q in questions],
        "cut": [q.cut for q in questions],
        "coating": [q.coating for q in questions if q.coating],
        "venue": [q.venue for q in questions] + there,
    }
    what = [said for kind, found in named.items() if (said := _made_up(kind, found, words))]
    colours = {"of_swatch": [q.swatch for q in questions], "of_cloth": [q.cloth for q in questions]}
    what += [
        words.say.say("page", key)
        for key, found in colours.items()
        if any(one.basis == "invented" for one in found)
    ]
    if not what:
        return None
    return {
        "mark": words.say.say("page", "invented"),
        "why": words.say.say("page", "invented_why", what=words.say.listed(what)),
    }


def _made_up(kind: str, found: Sequence[Entry], words: Wording) -> str:
    """Return which of the entries of a kind are invented: all of them, or some by name; empty if none is."""
    names = {one.id: one.name for one in found if one.basis == "invented"}
    if not names or len(names) == len({one.id for one in found}):
        return words.say.say("page", f"of_{kind}") if names else ""
    shown = words.say.join(list(names.values())[:MOST_NAMED])
    more = " …" if len(names) > MOST_NAMED else ""
    return words.say.say("page", f"some_{kind}", len(names), names=shown + more)
