"""One full reading, for ``planner try``."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from planner.assess import assess_question
from planner.catalogue.palette import Palette
from planner.cli.ask import GRADES, asked_for
from planner.cli.at_hand import palette_of
from planner.cli.drawing import check_places, draw, draw_film
from planner.cli.text import tell, tell_in_turn
from planner.reading.ahead import read_ahead
from planner.reading.beside import beside
from planner.reading.instead import instead
from planner.reading.looks import look_ahead
from planner.reading.matter import Grade
from planner.reading.question import Question
from planner.reading.read import is_read
from planner.say.document import Document
from planner.say.reading import answer_document, reading_document, title_document


def show(
    *, picture: Path | None, film: Path | None, unfoiled: bool, palettes: Path | None, as_data: bool,
    **given: Any
) -> None:  # fmt: skip
    """Print one reading, and draw it if asked."""
    check_places(picture, film)
    palette = palette_of(palettes)
    asked = asked_for(palette, **given)
    grade = GRADES[asked.grade]

    def answers() -> Iterator[Document]:
        yield title_document(asked)
        with beside(lambda: _ahead(palette, asked.question, grade), known=is_read(asked.question, grade)):
            found = assess_question(asked.question, grade)
        # Nobody waits for the whole palette to read about the stone that was asked for.
        yield answer_document(asked, found)
        others = instead(palette, found.reading, unfoiled=unfoiled) if found.wants_another else None
        if picture is not None:
            draw(found.reading, picture)
        if film is not None:
            draw_film(asked.question, film)
        yield reading_document(asked, found, others, picture=picture, film=film, palettes=palettes)

    if as_data:
        *_, whole = answers()
        tell(whole, as_data=True)
    else:
        tell_in_turn(answers())


def _ahead(palette: Palette, question: Question, grade: Grade) -> Iterator[None]:
    """Look at what the reading asks for last, and then at what the ranking does."""
    ranking = look_ahead(palette, question)
    yield from read_ahead(question, grade, ranking)
    yield from ranking
