"""Tables read from CSV and workbooks, and what comes of damaged ones."""

import re
import zipfile

import pytest
from reference import openpyxl

from planner.order import sheet, workbook_reader
from planner.order.sheet import read_sheet
from planner.order.workbook_reader import letter
from planner.refusal import Refusal

ROWS = ["count,price", "144,1.25"]


def _file(tmp_path, data, name="offers.csv"):
    path = tmp_path / name
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    return path


@pytest.mark.parametrize(("column", "name"), [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA")])
def test_columns_have_a_spreadsheets_letters(column, name):
    # Checked with openpyxl, which writes workbooks.
    assert letter(column) == name == openpyxl.utils.get_column_letter(column + 1)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_unicode_encodings_read_alike(tmp_path, encoding):
    found = read_sheet(_file(tmp_path, "Verkäufer;Preis\nAnvil;3 €\n".encode(encoding)))
    assert [cells for _, cells in found.rows] == [("Verkäufer", "Preis"), ("Anvil", "3 €")]


def test_an_old_encoding_is_read_and_said(tmp_path):
    found = read_sheet(_file(tmp_path, "Verkäufer,Preis\nAnvil,3 €\n".encode("cp1252")))
    assert found.rows[0][1][0] == "Verkäufer"
    assert "Line 1 is not UTF-8" in found.notes[0]


def test_rows_keep_the_numbers_a_spreadsheet_shows(tmp_path):
    text = '# a remark\n\na,b\n"two\nlines",1\n\n#1 Store,2\n# another remark,3\n'
    found = read_sheet(_file(tmp_path, text))
    assert [number for number, _ in found.rows] == [3, 4, 6]
    assert found.rows[2][1] == ("#1 Store", "2")


def test_a_line_that_only_says_what_parts_columns_is_no_heading(tmp_path):
    assert read_sheet(_file(tmp_path, "sep=;\na;b\n1;2\n")).rows[0] == (2, ("a", "b"))


BAD = {
    "empty": (b"", "found nothing in it"),
    "blanks": (b" \n\n,,\n", "found nothing in it"),
    "neither encoding": (b"a,b\n\x81\x8d,\xff\n", "line 2: found letters neither of UTF-8"),
    "parted by bars": (b"a|b\n1|2\n", "separated by |"),
    "open quotation": (b'a,b\n"1,2\n' + b"3,4\n" * 200, "row 2, column A: found .* never closed"),
    "huge cell": (b"a,b\n" + b"x" * 200_000 + b",1\n", "never closed"),
    "many columns": (b"," * 300 + b"a\n", "row 1: found 301 columns"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_file_that_cannot_be_read_is_one_sentence(tmp_path, name):
    data, said = BAD[name]
    with pytest.raises(Refusal, match=said) as raised:
        read_sheet(_file(tmp_path, data))
    assert "\n" not in str(raised.value)


def test_size_is_bounded(tmp_path, monkeypatch):
    monkeypatch.setattr(sheet, "MAX_BYTES", 20)
    with pytest.raises(Refusal, match="may have at most 20"):
        read_sheet(_file(tmp_path, "a,b\n" * 10))
    monkeypatch.undo()
    monkeypatch.setattr(sheet, "MAX_ROWS", 3)
    with pytest.raises(Refusal, match="row 4: found more than 2 offers"):
        read_sheet(_file(tmp_path, "a,b\n" * 10))


def test_folders_and_missing_files_are_refused(tmp_path):
    with pytest.raises(Refusal, match="found a folder") as raised:
        read_sheet(tmp_path)
    assert str(raised.value).count(str(tmp_path)) == 1
    with pytest.raises(Refusal, match="there is no such file"):
        read_sheet(tmp_path / "none.csv")


def _book(tmp_path, rows, name="offers.xlsx"):
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    path = tmp_path / name
    book.save(path)
    return path


def test_a_workbook_gives_numbers_exactly_and_keeps_its_rows(tmp_path):
    found = read_sheet(_book(tmp_path, [[], ["count", "price"], [144, 12.1], [1440, 0.1 + 0.2]]))
    assert [number for number, _ in found.rows] == [2, 3, 4]
    assert [str(cell) for cell in found.rows[1][1]] == ["144", "12.1"]
    assert str(found.rows[2][1][1]) == "0.3"


def test_formulas_are_told_and_never_run(tmp_path):
    # openpyxl stores no result, as some programs do: the cell then reads as empty.
    found = read_sheet(_book(tmp_path, [["count", "price"], [144, "=1+2"], ['=HYPERLINK("x")', 3]]))
    assert found.rows[1][1][1] == ""
    assert len(found.notes) == 1
    assert found.notes[0].startswith("2 cells hold formulas, such as B2, A3: what the workbook stored")
    assert found.notes[0].endswith("nothing was computed, and what it never stored is empty.")


def test_a_formulas_stored_result_is_what_is_read(tmp_path):
    path = _book(tmp_path, [["count", "price"], [144, "=1+2"]])
    stored = tmp_path / "stored.xlsx"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(stored, "w") as new:
        for part in old.infolist():
            # What a formula is worth must come from the file: 1+2 is stored as 7 here.
            new.writestr(part, re.sub(rb"<v ?/>|<v></v>", b"<v>7</v>", old.read(part)))
    assert str(read_sheet(stored).rows[1][1][1]) == "7"


def test_a_cell_far_out_is_refused_before_memory_is_filled_with_what_lies_between(tmp_path):
    book = openpyxl.Workbook()
    book.active.append(["count", "price"])
    book.active["XFD1048576"] = "stray"
    book.save(tmp_path / "offers.xlsx")
    with pytest.raises(Refusal, match="reaches to row 1,048,576 and column XFD; at most") as raised:
        read_sheet(tmp_path / "offers.xlsx")
    assert "\n" not in str(raised.value)
    # The same where the cell of the last row does not say its place.
    placeless = tmp_path / "placeless.xlsx"
    with zipfile.ZipFile(tmp_path / "offers.xlsx") as old, zipfile.ZipFile(placeless, "w") as new:
        for part in old.infolist():
            data = old.read(part).replace(b'r="XFD1048576"', b"").replace(b'r="B1"', b'r="XFD1"')
            new.writestr(part, data)
    with pytest.raises(Refusal, match="reaches to row 1,048,576 and column XFD"):
        read_sheet(placeless)


def test_an_empty_row_far_out_is_no_hindrance(tmp_path):
    book = openpyxl.Workbook()
    book.active.append(["count", "price"])
    book.active.row_dimensions[1048576].hidden = True
    book.save(tmp_path / "offers.xlsx")
    assert len(read_sheet(tmp_path / "offers.xlsx").rows) == 1


def test_the_first_sheet_that_can_be_seen_is_read(tmp_path):
    book = openpyxl.Workbook()
    book.active.sheet_state = "hidden"
    book.create_sheet("Offers").append(["count", "price"])
    book.save(tmp_path / "offers.xlsx")
    found = read_sheet(tmp_path / "offers.xlsx")
    assert found.rows == ((1, ("count", "price")),)


@pytest.mark.parametrize("data", [b"", b"count,price\n", b"PK\x03\x04 damaged", b"PK\x05\x06" + bytes(18)])
def test_what_is_no_workbook_is_one_sentence(tmp_path, data):
    with pytest.raises(Refusal, match="workbook") as raised:
        read_sheet(_file(tmp_path, data, "offers.xlsx"))
    assert "\n" not in str(raised.value)


def test_a_locked_or_old_workbook_is_told_apart(tmp_path):
    # The first bytes of an OLE compound file: [MS-CFB] 2.2, Header Signature (from memory).
    for name in ("offers.xlsx", "offers.xls", "offers.csv"):
        with pytest.raises(Refusal, match="locked or of an old kind"):
            read_sheet(_file(tmp_path, b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), name))


def test_a_workbook_under_another_name_is_still_one(tmp_path):
    path = _book(tmp_path, [["count", "price"], [144, 3]])
    assert read_sheet(path.rename(tmp_path / "offers.csv")).rows[0] == (1, ("count", "price"))


def test_a_workbook_that_unpacks_to_too_much_is_refused(tmp_path, monkeypatch):
    path = _book(tmp_path, [["x" * 1000] * 50] * 50)
    monkeypatch.setattr(workbook_reader, "MAX_UNPACKED", 5000)
    with pytest.raises(Refusal, match="unpack to over"):
        workbook_reader._parsed(path, path.read_bytes())


def _with_sheet(tmp_path, content, name="xl/worksheets/sheet1.xml"):
    """Return a workbook whose first sheet is `content`, under a name of its own."""
    path, crafted = _book(tmp_path, [["seller"], ["a"]]), tmp_path / "crafted.xlsx"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(crafted, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.infolist():
            data = old.read(part)
            if part.filename == "xl/_rels/workbook.xml.rels":
                data = data.replace(b"worksheets/sheet1.xml", name.removeprefix("xl/").encode())
            if part.filename == "[Content_Types].xml":
                data = data.replace(b"xl/worksheets/sheet1.xml", name.encode())
            new.writestr(
                *((name, content) if part.filename.endswith("sheet1.xml") else (part.filename, data))
            )
    return crafted


_HEAD = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'


@pytest.mark.parametrize("place", ["XFD1048576", "xfd1048576", "AAAAA9", "A10000000", "ZZZZZZ99999999"])
@pytest.mark.parametrize("name", ["xl/worksheets/sheet1.xml", "xl/odd/S.XML"])
def test_a_cell_far_out_is_refused_and_ends_nothing(tmp_path, place, name):
    row = re.sub("[A-Za-z]", "", place)
    content = (
        f'{_HEAD}<row r="1"><c r="A1"><v>1</v></c></row><row r="{row}"><c r="{place}"><v>2</v></c></row>'
    )
    path = _with_sheet(tmp_path, f"{content}</sheetData></worksheet>", name)
    with pytest.raises(Refusal, match=r"reaches to row|workbook|at most|column"):
        read_sheet(path)


@pytest.mark.parametrize(
    "content", ["<c" + " r" * 100_000, "\0" * 1000, ""], ids=["endless", "nulls", "empty"]
)
def test_a_sheet_that_would_take_for_ever_is_given_up(tmp_path, content):
    with pytest.raises(Refusal, match=r"workbook|nothing in it"):
        read_sheet(_with_sheet(tmp_path, content))
