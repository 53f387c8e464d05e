"""The page as a PDF file: its syntax and its tags, by two readers that are none of ours.

pikepdf (qpdf) checks how the file is built, pypdfium2 what is drawn. Whether all of PDF/UA-1 (ISO 14289-1)
and PDF/A-2a (ISO 19005-2) is kept is the typesetter's word: it refuses what it knows to break them. No
validator of theirs is to be had as a package, so that it is not checked here.
"""

import itertools
from io import BytesIO

import pikepdf
import pytest
from pdfs import fonts_of


@pytest.fixture(scope="module")
def data(made):
    return made.pdf()


@pytest.fixture(scope="module")
def file(data):
    with pikepdf.open(BytesIO(data)) as opened:
        yield opened


def tags(element):
    """Yield every element of a tree of structure."""
    children = element.get("/K", [])
    for one in children if isinstance(children, pikepdf.Array) else [children]:
        if isinstance(one, pikepdf.Dictionary) and "/S" in one:
            yield one
            yield from tags(one)


def test_nothing_is_malformed(file):
    assert file.check_pdf_syntax() == []


def test_the_file_says_what_it_is(file):
    root = file.Root
    assert root.MarkInfo.Marked is True
    # Its default, and an error to some readers where it stands.
    assert "/Suspects" not in root.MarkInfo
    assert str(root.Lang) == "en-GB"
    assert root.ViewerPreferences.DisplayDocTitle is True
    assert root.OutputIntents[0].S == "/GTS_PDFA1"
    with file.open_metadata() as meta:
        assert (meta["pdfuaid:part"], meta["pdfaid:part"], meta["pdfaid:conformance"]) == ("1", "2", "A")
        assert meta["dc:title"] == "Trapeze, leotard with long sleeves"


def test_it_is_tagged_and_no_picture_is_without_words(file):
    found = list(tags(file.Root.StructTreeRoot))
    kinds = {str(one.S) for one in found}
    assert {"/H1", "/H2", "/P", "/Figure"} <= kinds
    figures = [one for one in found if str(one.S) == "/Figure"]
    assert len(figures) >= 4
    assert all(len(str(one.Alt)) > 20 for one in figures)
    # Headings go down one step at a time (ISO 14289-1, 7.4.2).
    levels = [
        int(str(one.S)[2:]) for one in found if str(one.S).startswith("/H") and str(one.S)[2:].isdigit()
    ]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))


def test_fonts_are_embedded_and_colours_are_srgb(data):
    assert fonts_of(data) == {True}
    assert b"/DeviceRGB" not in data


def test_nothing_in_it_acts(file):
    """No script, no form, no attachment, nothing that opens by itself: a stranger opens it."""
    for name in ("/AA", "/AcroForm", "/OpenAction"):
        assert name not in file.Root, name
    assert not file.attachments
    assert "/JavaScript" not in file.Root.get("/Names", {})
