"""Sheets and web pages: cells held apart by bars."""

from __future__ import annotations

import datetime
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from reconcile.errors import EncryptedSourceError, OversizeSourceError
from reconcile.notation.grid import find_grids
from reconcile.sources import read_source

ROWS = [["Rating", "R.p.m.", "Boost"], ["Take-off", "3,000", "+12"], ["Climb", "2,850", "+9"]]


def _cells(text: str) -> list[tuple[str, str, str]]:
    [grid] = find_grids(text)
    return [
        (text[slice(*c.row[-1])], text[slice(*c.column[-1])], text[slice(*c.span)])
        for c in grid.cells
    ]


EXPECTED = [
    ("Take-off", "R.p.m.", "3,000"), ("Take-off", "Boost", "+12"),
    ("Climb", "R.p.m.", "2,850"), ("Climb", "Boost", "+9"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "separator"), [("a.csv", ";"), ("a.tsv", "\t"), ("a.csv", "|")])
def test_csv(tmp_path: Path, name: str, separator: str) -> None:
    """The separator is found; thousands commas are no separators."""
    path = tmp_path / name
    path.write_text("\n".join(separator.join(row) for row in ROWS))
    source, pages = read_source(path)
    assert source.medium == "sheet"
    assert _cells(next(pages).text) == EXPECTED


def test_quoted_csv(tmp_path: Path) -> None:
    """Quoted cells may hold the separator; a line break inside a cell becomes a blank."""
    path = tmp_path / "a.csv"
    path.write_text('Rating,R.p.m.,Boost\nTake-off,"3,000",+12\n"Max.\nclimb","2,850",+9\n')
    assert _cells(next(read_source(path)[1]).text)[2:] == [
        ("Max. climb", "R.p.m.", "2,850"), ("Max. climb", "Boost", "+9"),
    ]  # fmt: skip


def test_workbook(tmp_path: Path) -> None:
    """Each sheet is a page under its name; whole numbers have no point; formulas give values."""
    path = tmp_path / "a.xlsx"
    book = xlsxwriter.Workbook(path)
    first, second = book.add_worksheet("Limits"), book.add_worksheet("Tanks")
    for i, row in enumerate([["Rating", "R.p.m.", "Ratio"], ["Climb", 2850, 0.42]]):
        first.write_row(i, 0, row)
    first.write_datetime(2, 0, datetime.datetime(1943, 5, 1), book.add_format({"num_format": 14}))
    second.write_row(0, 0, ["Tank", "Gallons"])
    second.write_row(1, 0, ["Main", 47.5])
    second.write_formula(2, 1, "=B2*2", None, 95)
    book.close()
    source, stream = read_source(path)
    pages = list(stream)
    assert source.medium == "sheet"
    assert [page.printed_number for page in pages] == ["Limits", "Tanks"]
    lines = [[c.strip() for c in line.split("|")] for line in pages[0].text.split("\n")]
    assert lines[:2] == [["Rating", "R.p.m.", "Ratio"], ["Climb", "2850", "0.42"]]
    assert lines[2][0] == "1943-05-01"
    assert "47.5" in pages[1].text and "95" in pages[1].text


def test_workbook_in_disguise(tmp_path: Path) -> None:
    """A workbook named .csv is read as the workbook it is, and that is noted."""
    path = tmp_path / "a.csv"
    book = openpyxl.Workbook()
    book.active.append(["Main tank", 47])
    with path.open("wb") as stream:
        book.save(stream)
    source, pages = read_source(path)
    assert source.medium == "sheet"
    assert "Main tank | 47" in next(pages).text


def test_locked_workbook(tmp_path: Path) -> None:
    """An old-style container that holds an encrypted package is a locked workbook."""
    path = tmp_path / "a.xlsx"
    entry = "EncryptedPackage".encode("utf-16-le")
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(9000) + entry + bytes(600))
    with pytest.raises(EncryptedSourceError, match="is locked with a password"):
        read_source(path)


def test_web_page(tmp_path: Path) -> None:
    """Scripts are silent, blocks are lines, a spanning heading spans, exponents are raised."""
    path = tmp_path / "a.html"
    path.write_text(
        "<html><head><title>x</title><script>var a = 1;</script></head><body><h1>Limits</h1>"
        "<p>Pressure 8 kg/cm<sup>2</sup> at\n  80&deg;C.</p>"
        "<table><tr><th></th><th colspan=2>Temp. °C.</th></tr>"
        "<tr><th>Rating</th><th>Cool.</th><th>Oil</th></tr>"
        "<tr><td>Climb<td>125<td>90</tr><tr><td>Cruise</td><td>105</td><td>85</td></tr></table>"
        "<p>After</p></body></html>",
        encoding="utf-8",
    )
    [page] = read_source(path)[1]
    assert page.text.startswith("Limits\n\nPressure 8 kg/cm² at 80°C.\n")
    assert page.text.endswith("After")
    [grid] = find_grids(page.text)
    heads = {tuple(page.text[slice(*s)] for s in c.column) for c in grid.cells}
    assert heads == {("Temp. °C.", "Cool."), ("Temp. °C.", "Oil")}


def test_numbers_as_shown(tmp_path: Path) -> None:
    """Places, per cent and units that only the format writes are read; nothing is rounded."""
    path = tmp_path / "a.xlsx"
    book = xlsxwriter.Workbook(path)
    sheet = book.add_worksheet("Limits")
    shown = [
        (4.5, "0.00", "4.50"), (2850, "#,##0", "2,850"), (0.75, "0%", "75%"),
        (6, '+0" lb./sq.in."', "+6 lb./sq.in."), (3.456, "0.0", "3.456"), (-2, "0.0", "-2.0"),
        (-2, "0.0;(0.0)", "(2.0)"), (12, "General", "12"), (80, "0 [$°C]", "80 °C"),
        (1, "yyyy", "1900-01-01"),
    ]  # fmt: skip
    sheet.write_row(0, 0, ["What", "Value"])
    for row, (value, number_format, _) in enumerate(shown, 1):
        sheet.write(row, 0, "x")
        sheet.write_number(row, 1, value, book.add_format({"num_format": number_format}))
    book.close()
    [page] = read_source(path)[1]
    cells = [line.split("|")[1].strip() for line in page.text.split("\n")[1:]]
    assert cells == [text for _, _, text in shown]


def test_formula_without_a_value_is_no_blank(tmp_path: Path) -> None:
    """A formula that was never worked out is shown as such, and counted in a note."""
    path = tmp_path / "a.xlsx"
    book = openpyxl.Workbook()
    book.active.append(["Main", 47])
    book.active.append(["Both", "=B1*2"])
    book.save(path)
    [page] = read_source(path)[1]
    assert "(formula without a stored value)" in page.text
    assert page.notes == ("formulas without a stored value: 1; open and save the workbook",)


def test_vast_sheet_is_refused(tmp_path: Path) -> None:
    """A sheet with one cell in its farthest corner is not unrolled."""
    path = tmp_path / "a.xlsx"
    book = xlsxwriter.Workbook(path)
    book.add_worksheet("Far").write(1_048_575, 16_383, 1)
    book.close()
    with pytest.raises(OversizeSourceError, match="spans more than"):
        list(read_source(path)[1])


def test_cell_over_two_rows_keeps_the_columns(tmp_path: Path) -> None:
    """A web page's cell that reaches down leaves its place blank in the rows below."""
    path = tmp_path / "a.html"
    path.write_text(
        "<table><tr><th rowspan=2>Rating<th colspan=2>Temp.<th rowspan=2>Time</tr>"
        "<tr><th>Cool.<th>Oil</tr>"
        "<tr><td rowspan=2>Climb<td>125<td>90<td>1 hr.</tr><tr><td>120<td>85<td>2 hrs.</tr>"
        "<tr><td>Cruise<td>105<td>80<td>3 hrs.</tr></table>"
    )
    [page] = read_source(path)[1]
    [grid] = find_grids(page.text)
    cells = {
        (page.text[slice(*c.row[-1])], page.text[slice(*c.column[-1])], page.text[slice(*c.span)])
        for c in grid.cells
    }
    assert {("Climb", "Oil", "85"), ("Climb", "Time", "2 hrs."), ("Cruise", "Cool.", "105")} < cells
