"""Word-processor documents, made by hand from their parts."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

from reconcile.errors import (
    DamagedSourceError,
    EmptySourceError,
    EncryptedSourceError,
    SourceError,
)
from reconcile.notation.grid import find_grids
from reconcile.sources import read_source

NS = 'xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"'


def _docx(tmp_path: Path, body: str, name: str = "typed.docx") -> Path:
    path = tmp_path / name
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("[Content_Types].xml", "<Types/>")
        archive.writestr(
            "word/document.xml", f"<w:document {NS}><w:body>{body}</w:body></w:document>"
        )
    return path


def _p(*runs: str) -> str:
    return "<w:p>" + "".join(runs) + "</w:p>"


def _r(text: str, style: str = "") -> str:
    return f"<w:r><w:rPr>{style}</w:rPr><w:t xml:space='preserve'>{text}</w:t></w:r>"


UP = '<w:vertAlign w:val="superscript"/>'


def _tc(text: str, style: str = "") -> str:
    return f"<w:tc><w:tcPr>{style}</w:tcPr>{_p(_r(text))}</w:tc>"


def test_paragraphs_breaks_and_raised_type(tmp_path: Path) -> None:
    """Paragraphs are lines, a page break a page, raised digits superscripts, deletions gone."""
    body = (
        _p(_r("Pressure 8 kg/cm"), _r("2", UP), _r(" at 3,000"), _r("1", UP))
        + _p(_r("Take-off"), "<w:r><w:tab/></w:r>", _r("+12"))
        + _p(
            "<w:del><w:r><w:delText>+9</w:delText></w:r></w:del>", "<w:ins>", _r("+10"), "</w:ins>"
        )
        + _p('<w:r><w:br w:type="page"/></w:r>', _r("Second page"))
    )
    source, stream = read_source(_docx(tmp_path, body))
    pages = list(stream)
    assert source.medium == "text"
    assert [page.text for page in pages] == [
        "Pressure 8 kg/cm² at 3,000¹\nTake-off\t+12\n+10", "Second page"
    ]  # fmt: skip


def test_table(tmp_path: Path) -> None:
    """Cells that span columns or reach down keep the others in their places."""
    two, begin, on = '<w:gridSpan w:val="2"/>', '<w:vMerge w:val="restart"/>', "<w:vMerge/>"
    rows = [
        _tc("Rating", begin) + _tc("Temp. °C.", two) + _tc("Time", begin),
        _tc("", on) + _tc("Cool.") + _tc("Oil") + _tc("", on),
        _tc("Climb") + _tc("125") + _tc("90") + _tc("1 hr."),
        _tc("Cruise") + _tc("105") + _tc("80") + _tc("-"),
    ]
    table = "<w:tbl>" + "".join(f"<w:tr>{row}</w:tr>" for row in rows) + "</w:tbl>"
    [page] = read_source(_docx(tmp_path, _p(_r("Limits")) + table + _p(_r("End"))))[1]
    [grid] = find_grids(page.text)
    cells = [
        (tuple(page.text[slice(*s)] for s in c.column), page.text[slice(*c.span)])
        for c in grid.cells
    ]
    assert cells[:3] == [
        (("Temp. °C.", "Cool."), "125"), (("Temp. °C.", "Oil"), "90"), (("Time",), "1 hr."),
    ]  # fmt: skip
    assert page.text.startswith("Limits\n") and page.text.endswith("\nEnd")


@pytest.mark.parametrize(
    ("xml", "kind"),
    [
        ("<w:document", DamagedSourceError),
        ('<!DOCTYPE x [<!ENTITY a "b">]><x>&a;</x>', DamagedSourceError),
        (f"<w:document {NS}><w:body/></w:document>", EmptySourceError),
        (f"<w:document {NS}/>", EmptySourceError),
    ],
)
def test_bad_documents(tmp_path: Path, xml: str, kind: type[SourceError]) -> None:
    """A document that cannot be parsed, or tries tricks, is refused in a sentence."""
    path = tmp_path / "bad.docx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("word/document.xml", xml)
    with pytest.raises(kind, match=r"^bad\.docx"):
        read_source(path)


def test_document_without_its_part_or_locked(tmp_path: Path) -> None:
    """An archive named .docx that is none is damaged; an encrypted one is locked."""
    path = tmp_path / "no.docx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("a.txt", "words")
    with pytest.raises(DamagedSourceError):
        read_source(path)
    entry = "EncryptedPackage".encode("utf-16-le")
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(9000) + entry + bytes(600))
    with pytest.raises(EncryptedSourceError):
        read_source(path)


def test_document_in_disguise(tmp_path: Path) -> None:
    """A document is known by its content whatever its name."""
    source, pages = read_source(_docx(tmp_path, _p(_r("Boost +6")), "typed.txt"))
    assert source.medium == "text"
    assert next(pages).text == "Boost +6"


def test_footnotes_are_kept(tmp_path: Path) -> None:
    """A footnote's number stands raised in the text and before the note at its end."""
    path = _docx(tmp_path, _p(_r("Boost +12"), '<w:r><w:footnoteReference w:id="2"/></w:r>'))
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(
            "word/footnotes.xml",
            f'<w:footnotes {NS}><w:footnote w:type="separator" w:id="0">{_p()}</w:footnote>'
            f'<w:footnote w:id="2">{_p(_r(" for 5 minutes only"))}</w:footnote></w:footnotes>',
        )
        archive.writestr("word/header1.xml", "<x/>")
    [page] = read_source(path)[1]
    assert page.text == "Boost +12²\n\n² for 5 minutes only"
    assert page.notes == ("running heads and feet of the document were not read",)
