"""One pairing, or every line of a job, in several venues, side by side."""

from collections.abc import Sequence
from dataclasses import dataclass

from planner.assess.venues import Judged
from planner.catalogue.pairing import pairing_name
from planner.reading.named import Asked
from planner.reading.phrase import percent
from planner.reading.read import Reading
from planner.say.document import Column, Document, Part, Row, Sentence, Table, document
from planner.say.figures import bases, reading_data
from planner.say.names import numbered
from planner.say.question import asked_data, named
from planner.say.reading import invented


@dataclass(frozen=True, eq=False)
class Compared:
    """One pairing in each of the venues."""

    asked: tuple[Asked, ...]
    found: tuple[Judged, ...]

    @property
    def holds(self) -> bool:
        """Whether it does what is wished in all of them."""
        return all(one.holds for one in self.found)

    @property
    def name(self) -> str:
        """What the pairing is called, with its size."""
        question = self.asked[0].question
        return f"{pairing_name(question.stone, question.coating)}, {question.size}"


def venues_document(rows: Sequence[Compared], *, whole_job: bool) -> Document:
    """Return one pairing, or with `whole_job` every line of a job, in the same venues."""
    places = [one.question.venue for one in rows[0].asked]
    columns = [Column(one.name, folds=True) for one in places]
    if whole_job:
        title = f"{len(rows)} lines in {len(places)} venues"
        kept = [at for at, row in enumerate(rows, 1) if row.holds]
        lines = (Column("line", folds=True), *columns, Column("all"))
        parts: list[Part] = [
            Table(lines, tuple(map(_line, rows))),
            Sentence(f"Good in all of them: {numbered(kept) if kept else 'no line'}."),
        ]
    else:
        title = f"{rows[0].name}, beside {rows[0].asked[0].swatch.name}"
        parts = [Table((Column(""), *columns), _beside(rows[0].found)), _verdict(rows[0].found)]
    basis = [each for row in rows for one in row.asked for each in bases(one.question).items()]
    return document(title, [*parts, invented(basis)], {
        "schema": "planner venue compare 1",
        "venues": [named(one) for one in places],
        "pairings": [
            {
                "holds_in_all": row.holds,
                "in": [
                    {
                        "inputs": asked_data(asked), **reading_data(one.reading),
                        "does": None if one.outcome == "can't tell" else one.holds,
                        "lots_do": one.fit.lots if asked.question.swatch_told else None,
                        "basis": bases(asked.question),
                    }
                    for asked, one in zip(row.asked, row.found, strict=True)
                ],
            }
            for row in rows
        ],
    })  # fmt: skip


def _line(row: Compared) -> Row:
    return Row((row.name, *(one.outcome for one in row.found), "yes" if row.holds else "no"))


def _beside(found: Sequence[Judged]) -> tuple[Row, ...]:
    """Return the figures of one pairing, venues side by side."""
    of_each = [
        {
            "looks": one.seen.name,
            "swatch": one.swatch.name if _told(one) else "fluoresces",
            "beside the swatch": one.drift.words if _told(one) else "–",
            "ΔE00": f"{one.drift.dE00:.1f}" if _told(one) else "–",
            "hue": f"{one.drift.dh:+.0f}°" if _told(one) and one.drift.dh is not None else "–",
            "sparkle": _flash(one),
            "lamp to eye": "–" if one.lamp_eye is None else f"{one.lamp_eye:.0f}°",
            "batches that do": percent(judged.fit.lots) if _told(one) else "–",
            "answer": judged.outcome,
        }
        for judged in found
        for one in (judged.reading,)
    ]
    return tuple(Row((name, *(one[name] for one in of_each))) for name in of_each[0])


def _told(reading: Reading) -> bool:
    """Return whether anything can be said of the swatch there."""
    return reading.question.swatch_told


def _flash(reading: Reading) -> str:
    if reading.flash is None:
        return "none"
    largest = sorted(reading.flash.by_luminance.items(), key=lambda one: -one[1])[:2]
    return ", ".join(f"{family} {percent(share)}" for family, share in largest if share > 0.0)


def _verdict(found: Sequence[Judged]) -> Sentence:
    broken, untold = (
        [one.reading.question.venue.name for one in found if one.outcome == outcome]
        for outcome in ("fails", "can't tell")
    )
    if not broken and not untold:
        return Sentence("It does what you want in all of these venues.")
    said = f"It does not do what you want in: {'; '.join(broken)}." if broken else ""
    unknown = f"Your swatch's colour is not known closely enough to tell in: {'; '.join(untold)}."
    unsure = unknown if untold else ""
    return Sentence(f"{said} {unsure}".strip())
