"""The message file has every word that the rooms above use, and another language is one more file."""

from dataclasses import replace

import numpy as np
import pytest
import tomlkit
from made_readings import made
from pdfs import text_of
from pseudo import CLOSE, OPEN, language

from planner.brief.content import ROOMS, content
from planner.brief.figures import Figures
from planner.brief.gather import TO_WEARER
from planner.brief.messages import messages, read_messages
from planner.brief.page import brief
from planner.brief.wording import Wording
from planner.catalogue import Refusal
from planner.catalogue.cloth import Cloth, cloth_kinds
from planner.colour.names import FAMILIES, FLASH_FAMILIES, names
from planner.colour.words import SAME
from planner.data import shared
from planner.reading.concern import Concern
from planner.reading.phrase import share
from planner.reading.verdict import verdict
from planner.reading.warn import CODES

ENGLISH = Wording(messages("en"), Figures("en_GB"))
OF_THE_JOB = {
    "Trapeze, leotard with long sleeves", "A. Client", "The workroom", "Not on the straps.", "14 March 2031",
}  # fmt: skip


def test_every_colour_has_a_name_that_a_person_uses():
    said = {name: ENGLISH.colour(name) for name in names()}
    assert said["moderate greenish blue"] == "medium greenish blue"
    assert said["black"] == "black"
    assert not any("moderate" in one or "{" in one for one in said.values())


def test_every_word_of_the_rooms_above_is_there():
    for family in {*FAMILIES, *FLASH_FAMILIES}:
        assert ENGLISH.family(family)
    for value in range(101):
        assert ENGLISH.share(value / 100)[0] == share(value / 100)
    words = (
        "lighter",
        "darker",
        "redder",
        "yellower",
        "greener",
        "bluer",
        "more violet",
        "more orange",
        "more purple",
        "more vivid",
        "duller",
    )
    for word in words:
        for grade in ("slightly ", "", "much "):
            assert word in ENGLISH.shift(grade + word)
    assert ENGLISH.shift(SAME) == SAME
    for code in CODES:
        known = [ENGLISH.say.knows("warning", code + end) for end in ("", "-darker", "-lighter")]
        assert any(known), code
        assert ENGLISH.say.knows("warning_many", code)
    for kind in cloth_kinds():
        assert kind == "matte" or ENGLISH.say.knows("kind", kind)
    for code in TO_WEARER:
        assert ENGLISH.say.knows("caution", code)


@pytest.mark.parametrize(
    "asks",
    [
        *({"tolerance": one} for one in ("arm", "seats", "family", 8.0)),
        {"wish": "tone", "tolerance": "seats"},
        {"wish": "contrast", "tolerance": 8.0},
    ],
)
def test_a_client_is_told_the_answer_that_everybody_else_is_told(asks):
    """Each of the answers has words of its own, whatever was asked."""
    said = ever_further_off(**asks)
    assert said.keys() == {"passes", "just about", "fails"}
    assert [outcome for outcome, words in said.items() if "just about" in words] == ["just about"]
    assert len(set(said.values())) == 3


def test_a_client_is_promised_nothing_where_nobody_can_tell():
    assert ever_further_off(doubt=8.0)["can't tell"] == "This cannot be promised yet"


def ever_further_off(**asks):
    """Return what a client is told by every answer to a stone whose hue is turned ever further."""
    lightness, a, b = swatch = (40.0, 10.0, -45.0)
    said = {}
    for turned in np.radians(np.geomspace(0.5, 120.0, 50)):
        glow = (lightness, a * np.cos(turned) - b * np.sin(turned), a * np.sin(turned) + b * np.cos(turned))
        reading = made(glow=glow, swatch=swatch, **asks)
        said.setdefault(verdict(reading).outcome, ENGLISH.verdict(reading))
    return said


def test_what_is_given_up_is_worded_whatever_it_is():
    """All phrases of planner/reading/instead.py, read from its text."""
    import inspect
    import re

    from planner.reading import instead

    source = inspect.getsource(instead)
    # Sentences of one or two parts; docstrings stand in three quotes.
    heads = set(re.findall(r'(?<!")"([A-Z][^":{]*?)(?:: [^"]*)?\."', source))
    assert len(heads) >= 8
    for head in heads:
        assert ENGLISH.say.knows("loss", head), head


@pytest.mark.parametrize("direction", ["ltr", "rtl"])
def test_a_language_of_longer_words_leaves_no_english_and_fits(told, tmp_path, direction, no_pictures):
    words = language(tmp_path, direction)
    made = brief(told, language=words, note=True)
    assert made.pages <= 2
    assert made.data["rtl"] == (direction == "rtl")
    assert OPEN in text_of(made.pdf())
    for text in texts(content(told, Wording(words, Figures("en_GB")), ROOMS[0], note=True)):
        bare = outside(text)
        assert text in OF_THE_JOB or OPEN in text, text
        assert not set(bare) & set("abcdefghijklmnopqrstuvwxyz"), text


def texts(data, key=""):
    """Yield every text that a person reads."""
    hidden = {
        "language",
        "region",
        "paper",
        "file",
        "hex",
        "swatch",
        "glow",
        "colours",
        "band",
        "severity",
        "size",
        "pages",
    }
    if isinstance(data, str) and data and not (data.isdigit() or key in hidden):
        yield data
    elif isinstance(data, dict):
        for name, value in data.items():
            yield from texts(value, name if not (name in hidden and isinstance(value, dict)) else "")
    elif isinstance(data, list):
        for one in data:
            yield from texts(one, key)


def outside(text):
    """Return what stands outside all brackets."""
    depth, kept = 0, ""
    for letter in text:
        depth += (letter == OPEN) - (letter == CLOSE)
        kept += letter if depth == 0 and letter != CLOSE else ""
    return "" if text in OF_THE_JOB else kept


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        (lambda e: e["verdict"].pop("tone_yes"), 'section verdict, entry "tone_yes": is missing'),
        (
            lambda e: e["pairing"].update(bare="{stine}"),
            r"found \{stine\}; the English sentence has \{stone\}",
        ),
        (lambda e: e["pairing"].update(bare="{stone"), "found {a lone brace}"),
    ],
)
def test_a_language_that_is_not_whole_is_refused(tmp_path, change, complaint):
    entries = tomlkit.parse((shared("brief") / "en.toml").read_text(encoding="utf-8")).unwrap()
    change(entries)
    path = tmp_path / "xx.toml"
    path.write_text(tomlkit.dumps(entries), encoding="utf-8")
    with pytest.raises(Refusal, match=complaint):
        read_messages(path)


def test_runs_of_numbers_are_drawn_together():
    assert ENGLISH.numbers([1, 3, 4, 5, 9, 10]) == "1, 3–5, 9, 10"


def test_counts_are_told(made):
    assert any("stones" in one for one in made.data["need"]["items"])
    assert made.data["need"]["title"] == "How many"


def test_of_neon_cloth_under_lamps_nothing_is_promised(told):
    """Its colour away from daylight is not known, so neither is a match."""
    reading = told.lines[0].reading
    swatch = replace(reading.question.swatch, fluorescent=True)
    neon = replace(reading, question=replace(reading.question, swatch=swatch))
    assert ENGLISH.verdict(neon) == "This cannot be promised yet"
    assert ENGLISH.match(neon) == ""
    assert "fluorescent" in ENGLISH.sure(neon)
    assert "batches" not in ENGLISH.sure(neon)


def test_what_the_cloth_does_is_told(told):
    reading = told.lines[0].reading
    swatch = replace(reading.question.swatch, cloth=Cloth(kind="velvet"))
    velvet = replace(reading, question=replace(reading.question, swatch=swatch))
    assert "pile" in ENGLISH.kinds(velvet)
    assert ENGLISH.kinds(reading) == ""


@pytest.mark.parametrize("code", ["en_GB", "de_DE", "ar_EG", "fa_IR", "hi_IN", "ja_JP"])
def test_every_locale_has_a_word_for_every_unit(code):
    """Not all of CLDR's have one for an inch: the English one stands in."""
    figures = Figures(code)
    for unit in ("meter", "millimeter", "inch"):
        for long in (False, True):
            said = figures.length(2, unit, long=long)
            assert "length" not in said
            assert said.strip() != "2"


def test_a_warning_of_several_kinds_of_sparkle_is_worded(told):
    words = Wording(messages("en"), Figures("en_GB"))
    figures = {"by_luminance": 0.5, "by_number": 0.4, "hues": "golden and greenish"}
    concern = Concern("flash-off-hue", "caution", "-", "-", figures)
    assert "is golden and greenish" in words.warning(concern, told.lines[0])
