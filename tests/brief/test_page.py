"""A brief as PDF and PNG, judged by another reader of PDF, and what never happens to one."""

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from campaigns import WHOLE
from pdfs import area_of, fonts_of, images_of, outlines_of, text_of, tight

from planner.brief import page
from planner.brief.figures import Figures
from planner.brief.gather import Cost, gather
from planner.brief.messages import messages
from planner.brief.page import brief
from planner.brief.supply import cost_of
from planner.brief.wording import Wording
from planner.catalogue import Refusal
from planner.catalogue.pairing import pairing_name
from planner.data import demo, shared
from planner.job import Acceptance, Line
from planner.order.job_order import job_order
from planner.order.offers_file import read_offers
from planner.reading.instead import instead
from planner.reading.matter import QUICK
from planner.reading.rank import rank
from planner.reading.warn import CODES, SEVERITIES, Concern

PPI = 100
ENGLISH = Wording(messages("en"), Figures("en_GB"))


@pytest.fixture(scope="module")
def pdf(made):
    return made.pdf()


def said(told):
    """Return every warning of a job as the brief words it."""
    return [ENGLISH.warning(concern, one) for one in told.lines for concern, _ in one.concerns]


def test_every_warning_stands_in_the_pdf_and_in_the_text(told, made, pdf):
    found = said(told)
    assert len(found) >= 3
    assert any(concern.severity == "severe" for one in told.lines for concern, _ in one.concerns)
    for sentence in found:
        assert tight(sentence) in tight(text_of(pdf))
        assert tight(sentence) in tight(made.text())


def test_the_pdf_is_tagged_and_carries_its_fonts_and_what_its_colours_mean(pdf):
    for mark in (
        b"/StructTreeRoot",
        b"/MarkInfo",
        b"/Lang",
        b"/OutputIntent",
        b"pdfuaid:part",
        b"pdfaid:part",
    ):
        assert mark in pdf, mark
    assert b"/DeviceRGB" not in pdf
    assert fonts_of(pdf) == {True}


def test_patches_have_the_computed_colour_in_both_renderings(told, made, pdf):
    """Within a ΔE00 of 1, over most of the area of a patch: 29 mm by at least 23 mm."""
    for image in (images_of(pdf, PPI)[0], made.images(PPI)[0]):
        first = told.lines[0].reading
        for seen in (first.swatch, first.seen):
            assert area_of(image, seen.hex, PPI) > 29 * 23


def worst(told):
    """Return a line with the longest names there may be, and every warning, each accepted at length."""
    one = told.lines[0]
    figures = {
        "by_luminance": 0.6, "by_number": 0.5, "hues": "golden, greenish and bluish", "dL": -9.0,
        "venue": one.elsewhere[0].venue.name, "merge_m": 20.0, "size": "SS16",
    }  # fmt: skip
    accept = Acceptance(code="glow-drifts", who="W" * 80, why="why " * 99)
    concerns = tuple((Concern(code, "severe", "", "", figures), accept) for code in CODES)
    stone = one.reading.question.stone.model_copy(update={"name": "W" * 80})
    reading = replace(one.reading, question=replace(one.reading.question, stone=stone))
    return replace(one, reading=reading, concerns=concerns)


JOBS = [(paper, count) for paper in ("A4", "Letter") for count in (1, 2, 3, 12, 500)]


@pytest.mark.campaign
@pytest.mark.parametrize(("paper", "count"), JOBS if WHOLE else JOBS[2::5])
def test_at_most_two_pages_whatever_the_job(told, no_pictures, count, paper):
    job = told.job.model_copy(update={
        "title": "W" * 120, "note": "note " * 80, "client": "M" * 120, "maker": "M m " * 30, "paper": paper,
    })  # fmt: skip
    line = worst(told)
    lines = tuple(replace(line, number=number + 1) for number in range(count))
    made = brief(replace(told, job=job, lines=lines, needs=(), full=min(count, 2)), note=True)
    text = tight(text_of(made.pdf()))
    assert made.pages <= 2
    for code in CODES:
        together = count > 1 and tight(ENGLISH.warning_of_many(code)) in text
        assert together or count <= 2
    for concern, _ in line.concerns:
        assert tight(ENGLISH.warning(concern, line)) in text
    for sentence in (job.note, job.title, made.data["sign"]["text"], made.data["limits"][0]):
        assert tight(sentence) in text
    if count == 500:
        assert re.search(r"Numbers\d+–500:", text)


def test_a_colour_is_named_with_the_light_that_it_is_seen_in(made):
    """By daylight the same cloth has another name, which check and match give."""
    assert "Your colour, in this light" in made.text()


def test_a_job_of_one_pairing_is_one_page(told, no_pictures):
    one = replace(told.lines[1], number=1)
    assert brief(replace(told, lines=(one,), needs=(), full=1, safe=None)).pages == 1


def test_what_a_person_typed_is_text_and_no_markup(told, no_pictures):
    title = '#strong[x] *b* _i_ $x^2$ <label> @ref `raw` \\ "quoted" // #sys.inputs'
    made = brief(
        replace(told, job=told.job.model_copy(update={"title": title, "note": "#panic()\n= heading"})),
        note=True,
    )
    assert tight(title) in tight(text_of(made.pdf()))
    assert "#panic()" in made.text()


def test_letters_that_no_font_has_are_told_and_stay_in_the_text(told, no_pictures):
    made = brief(replace(told, job=told.job.model_copy(update={"client": "Łucja Ωμέγα Жанна שרה 龍 🎪"})))
    text = text_of(made.pdf())
    assert "Łucja" in text
    assert "Жанна" in text
    assert "U+9F8D U+1F3AA" in " ".join(text.split())
    assert "龍 🎪" in made.text()
    assert "U+9F8D" not in made.text()


def nowhere_else(line, reading):
    """Return a line with another reading, worn in one venue alone."""
    here = tuple(pair for pair in line.concerns if pair[0].code != "breaks-elsewhere")
    return replace(line, reading=reading, elsewhere=(), concerns=here)


def test_invented_numbers_are_marked_and_measured_ones_are_not(told, made, no_pictures):
    assert "INVENTED EXAMPLE" in text_of(made.pdf())
    lines = []
    for one in told.lines:
        question = one.reading.question
        parts = {
            name: getattr(question, name).model_copy(update={"basis": "measured"})
            for name in ("stone", "cut", "venue")
        }
        parts |= {name: replace(getattr(question, name), basis="measured") for name in ("swatch", "cloth")}
        if question.coating:
            parts["coating"] = question.coating.model_copy(update={"basis": "measured"})
        lines.append(nowhere_else(one, replace(one.reading, question=replace(question, **parts))))
    real = brief(replace(told, lines=tuple(lines), safe=None))
    assert "INVENTED" not in text_of(real.pdf())
    assert "INVENTED" not in real.text()


def test_only_what_is_invented_is_said_to_be(told, no_pictures):
    """One stone, its cut, its coating, the venue and the colours are the person's own; the rest is not."""
    one, other = told.lines[:2]
    question = one.reading.question
    own = {
        name: getattr(question, name).model_copy(update={"basis": "estimated", "id": f"my-{name}"})
        for name in ("stone", "cut", "venue", "coating")
    }
    own |= {name: replace(getattr(question, name), basis="measured") for name in ("swatch", "cloth")}
    mine = replace(one.reading, question=replace(question, **own))
    same = {name: own[name] for name in ("venue", "cut", "swatch", "cloth")}
    theirs = replace(other.reading, question=replace(other.reading.question, **same))
    lines = nowhere_else(one, mine), nowhere_else(other, theirs)
    mixed = brief(replace(told, lines=lines, needs=(), safe=None))
    why = mixed.data["invented"]["why"]
    assert why.endswith(f": the stone {theirs.question.stone.name}."), why
    assert tight(why) in tight(text_of(mixed.pdf()))
    assert mixed.data["invented"]["mark"] in mixed.text()
    elsewhere = replace(lines[0], elsewhere=one.elsewhere)
    why = brief(replace(told, lines=(elsewhere,), needs=(), safe=None)).data["invented"]["why"]
    lamps = [there.venue.name for there in one.elsewhere]
    assert why.endswith(f": the lights of {', '.join(lamps)}."), why


def test_letter_paper_and_another_locale(told, no_pictures):
    made = brief(replace(told, job=told.job.model_copy(update={"paper": "Letter", "locale": "de_DE"})))
    assert made.images(72)[0].size == (612, 792)
    text = made.text()
    assert "14. März 2031" in text
    assert "4,7\N{NO-BREAK SPACE}mm" in text
    assert "2 " in made.data["sizes"]["ruler"] or "2\N{NO-BREAK SPACE}" in made.data["sizes"]["ruler"]


def test_discs_and_ruler_are_true_to_scale(made, pdf):
    """Where PDFium finds their outlines: discs from edge to edge, the ruler from tick to tick."""
    sizes = made.data["sizes"]
    lines = outlines_of(pdf)
    for one in sizes["items"]:
        assert any(abs(width + stroke - one["mm"]) < 0.03 for width, stroke in lines), one
    assert sizes["ruler_mm"] == 50.0
    assert any(abs(width - 50.0) < 0.03 for width, _ in lines)


def contrast(one, other):
    """Return the contrast ratio (W3C, Web Content Accessibility Guidelines 2.2, 2023)."""
    from planner.colour.screen import parse_hex, srgb_to_linear

    bright = [float(srgb_to_linear(parse_hex(c) / 255.0) @ [0.2126, 0.7152, 0.0722]) for c in (one, other)]
    return (max(bright) + 0.05) / (min(bright) + 0.05)


def test_all_text_has_contrast_enough():
    source = (shared("brief") / "brief.typ").read_text(encoding="utf-8")
    named = dict(re.findall(r'#let (\w+) = rgb\("(#\w+)"\)', source))
    watermark = re.search(r'fill: rgb\("(#\w+)"\), tracking', source)[1]
    for ground in ("#ffffff", named["ground"], watermark):
        for ink in (named["ink"], named["quiet"]):
            assert contrast(ink, ground) >= 4.5
    assert set(re.findall(r"text\([^)]*fill: (\w+)", source)) <= {"ink", "quiet", "rgb"}


def test_which_lines_are_shown_in_full_can_be_chosen(job, palette, not_set):
    chosen = brief(gather(job, palette, grade=QUICK, full=[3])).whole
    # Clear stones do not pass for blue: what does stands beside them, and is no line of the job.
    assert [one["number"] for one in chosen["blocks"]] == [3, 0]
    assert [one["role"] for one in chosen["blocks"]] == ["What you chose", "The safer choice"]
    assert [one["holds"] for one in chosen["blocks"]] == [False, True]
    assert [one["number"] for one in chosen["table"]["rows"]] == ["1", "2"]
    both = brief(gather(job, palette, grade=QUICK, full=[3, 1])).whole
    assert [one["number"] for one in both["blocks"]] == [3, 1]
    for wrong, said in (([4], "found 4; the job has lines 1 to 3"), ([1, 2, 3], "at most 2 have room")):
        with pytest.raises(Refusal, match=said):
            gather(job, palette, grade=QUICK, full=wrong)


def test_pictures_come_first_and_figures_last(told, made):
    """What a client wants to know, in that order; figures are one line at the foot."""
    text = made.text()
    first = made.data["blocks"][0]
    assert [one["file"].split("-")[1] for one in first["pictures"]] == ["seats.png", "hand.png"]
    assert text.index(first["verdict"]) < text.index("How sure") < text.index("safety data sheet")
    assert text.count("ΔE00") == text.count("L*") == 1
    assert text.rstrip().endswith(made.data["experts"].split()[-1])
    assert not re.search(r"\bnm\b|nanomet", text)


def test_what_two_pairings_share_is_said_once(told, not_set):
    one = told.lines[0]
    twin = replace(one, number=9)
    data = brief(replace(told, lines=(one, twin), full=2, safe=None, needs=())).data
    texts = [each["text"] for each in data["warnings_both"]]
    assert texts == [ENGLISH.warning(concern, one) for concern, _ in one.concerns]
    assert [block["warnings"] for block in data["blocks"]] == [[], []]


def test_a_shared_ranking_offers_the_same(told, palette):
    """Of lines that wish alike in one size, the palette is looked through once; nothing else comes of it."""
    one = told.lines[0].reading
    alike = replace(one, question=replace(one.question, coating=None))
    best = rank(palette, one.question)
    pairs = [
        [(other.ranked.question.stone.id, other.gives_up) for other in found]
        for found in (instead(palette, alike), instead(palette, alike, best=best))
    ]
    assert pairs[0] == pairs[1]
    assert pairs[0]


# --- what goes wrong --------------------------------------------------------------------------------


def test_a_job_without_a_pairing(job, palette):
    with pytest.raises(Refusal, match=r"my\.toml: the job has no pairing yet"):
        gather(job.model_copy(update={"lines": (), "areas": ()}), palette, where="my.toml")


def test_a_pairing_that_left_the_palette(job, palette):
    gone = job.model_copy(update={"lines": (Line(stone="pulley-blew", size="SS20"),)})
    with pytest.raises(Refusal, match=r'my\.toml, job line 1, field stone: found "pulley-blew".*pulley-blue'):
        gather(gone, palette, where="my.toml")


@pytest.mark.parametrize(
    ("gone", "more"), [(1, ""), (2, "(and 1 more in this job)"), (4, "(and 3 more in this job)")]
)
def test_of_pairings_that_left_the_palette_one_is_named_and_the_others_counted(job, palette, gone, more):
    lines = tuple(Line(stone=f"pulley-{number}", size="SS20") for number in range(gone))
    with pytest.raises(Refusal) as refused:
        gather(job.model_copy(update={"lines": lines, "areas": ()}), palette)
    assert str(refused.value).endswith(more or "?")
    assert ("more in this job" in str(refused.value)) == bool(more)


def test_an_unknown_locale(told, no_pictures):
    with pytest.raises(Refusal, match='field locale: found "xx_YY"; nothing is known'):
        brief(replace(told, job=told.job.model_copy(update={"locale": "xx_YY"})))


def test_cost_is_told_as_far_as_it_is_shown(told, not_set):
    cost = Cost(Decimal("96.4"), "EUR", date(2031, 2, 20))
    shown = brief(replace(told, cost=cost)).text()
    assert "Stones with delivery: €96.40" in shown
    assert "20 February 2031" in shown
    hidden = brief(replace(told, cost=replace(cost, amount=None))).text()
    assert "€" not in hidden
    assert not re.search(r"\bcosts?\b", hidden)
    assert "20 February 2031" in hidden
    silent = (("Hem & Co", ("handling", "duty", "tax")), ("Pins", ("shipping",)))
    without = brief(replace(told, cost=replace(cost, unsaid=silent)))
    figure = next(one for one in without.data["need"]["items"] if "€96.40" in one)
    assert "handling, duty and tax (Hem & Co), delivery (Pins)" in figure
    part = brief(replace(told, cost=replace(cost, whole=False))).text()
    assert "Some of these are not on offer anywhere yet" in part
    assert "20 February 2031" not in part


def test_cost_is_what_an_order_comes_to(told, palette):
    today = date(2031, 1, 10)
    offers = read_offers(demo() / "offers.csv", palette, today=today).offers
    cost = cost_of(told, palette, offers, today)
    assert cost.whole
    assert today < cost.arrives < told.job.event
    assert 0 < cost.amount < 100
    ordered = job_order(told.job, palette, told.needs, offers, today, grade=QUICK).outcome.plan
    assert (cost.amount, cost.unsaid) == (ordered.total, ordered.unsaid)
    silent = [replace(one, duty=None) for one in offers]
    assert all("duty" in names for _, names in cost_of(told, palette, silent, today).unsaid)
    with pytest.raises(Refusal, match="nothing to price"):
        cost_of(replace(told, needs=()), palette, offers, today)


def test_cautions_for_the_wearer_are_on_the_page(told, made, pdf):
    codes = {one.caution.code for one in told.cautions}
    assert {"small-parts-12-or-younger", "shed-on-ice", "touched"} <= codes
    for code in codes:
        assert tight(messages("en").say("caution", code)) in tight(text_of(pdf))
    assert "scrap-first" not in codes
    assert "safety data sheet" in made.text()


def test_a_swatch_known_too_little_is_told_on_the_page(job, palette, not_set):
    """Where the limit lies within what is known of a colour judged by eye, a sample decides."""
    typed = job.model_copy(update={"swatch": "#2a4b9c", "cloth": None, "lines": job.lines[2:], "areas": ()})
    # A colour near to the stones' own: what is known of it is then a good part of the distance.
    seen = gather(typed, palette, grade=QUICK).lines[0].reading.seen.hex
    typed = typed.model_copy(update={"swatch": seen})
    far = gather(typed, palette, grade=QUICK).lines[0].reading.drift.dE00
    near = typed.model_copy(update={"tolerance": round(float(far), 1)})
    text = " ".join(brief(gather(near, palette, grade=QUICK)).text().split())
    assert "not known closely enough to tell, so please decide by a sample" in text
    assert "not measured" in text
    plain = " ".join(brief(gather(typed, palette, grade=QUICK)).text().split())
    assert "known closely enough" not in plain


def test_a_severe_warning_on_the_second_page_is_told_there(job, palette, no_pictures):
    """It may be moved, never left off, wherever its line is told."""
    lines = (job.lines[1], *(job.lines[1].model_copy(update={"size": one}) for one in ("SS12", "SS30")),
             job.lines[0].model_copy(update={"wish": "blend"}))  # fmt: skip
    told = gather(job.model_copy(update={"lines": lines, "areas": ()}), palette, grade=QUICK, full=[1, 2])
    severe = [one for one, _ in told.lines[3].concerns if one.severity == "severe"]
    assert severe
    made = brief(told)
    text = tight(text_of(made.pdf()))
    assert made.pages == 2
    for concern in severe:
        assert tight(ENGLISH.warning(concern, told.lines[3])) in text


def test_lead_for_a_child_is_accepted_when_every_line_with_it_says_so(job, palette):
    """The client signs the page, so it says no more than who answers for what."""
    lead = palette.stones["pulley-blue"].model_copy(update={"material": "lead crystal"})
    leaded = replace(palette, stones={**palette.stones, lead.id: lead})
    by = Acceptance(code="lead-12-or-younger", who="Ada", why="Worn for four minutes.")

    def accepted(*accept):
        lines = tuple(
            Line(stone=lead.id, size=size, accept=who)
            for size, who in zip(("SS20", "SS30"), accept, strict=True)
        )
        found = gather(job.model_copy(update={"lines": lines, "areas": ()}), leaded, grade=QUICK).cautions
        return next(one for one in found if one.caution.code == by.code).accepted

    assert accepted((by,), ()) is None
    assert accepted((by,), (by,)) == by


def test_a_pairing_and_a_severity_are_called_what_they_are_called_everywhere(told, made):
    coated = told.lines[0].reading.question
    assert made.data["blocks"][0]["heading"].endswith(pairing_name(coated.stone, coated.coating))
    for severity in SEVERITIES:
        assert messages("en").say("warning", severity).casefold() == severity


def test_what_two_pages_have_no_room_for_is_said(told, no_pictures, monkeypatch):
    asked = replace(told, full=2, asked=(1, 2), safe=None)
    assert brief(asked).squeezed == ()
    monkeypatch.setattr(page, "ROOMS", page.ROOMS[-1:])
    assert brief(asked).squeezed == (2,)
    assert brief(replace(told, asked=())).squeezed == ()


def test_a_rule_is_as_wide_as_its_title_in_cells(told, not_set):
    text = brief(replace(told, job=told.job.model_copy(update={"title": "海の衣装"}))).text()
    assert f"海の衣装\n{8 * '='}\n" in text
