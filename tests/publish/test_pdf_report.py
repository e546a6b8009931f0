"""The report as PDF: the page's content, no markup from sources, the same bytes every day."""

from __future__ import annotations

import hashlib
import importlib.util
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from types import ModuleType

import pypdfium2
import pytest

from reconcile.publish.page_files import write_reports
from reconcile.publish.pdf_report import write_pdf


def _page_tests() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "page_table", Path(__file__).with_name("test_page.py")
    )
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


HAND = _page_tests()


def text_of(path: Path) -> str:
    document = pypdfium2.PdfDocument(path)
    try:
        words = []
        for page in document:
            textpage = page.get_textpage()
            words.append(textpage.get_text_bounded())
            textpage.close()
            page.close()
        return " ".join(" ".join(words).split())
    finally:
        document.close()


@pytest.fixture(scope="module")
def pdf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The PDF of the hand-made table."""
    folder = tmp_path_factory.mktemp("pdf")
    HAND.make_sources(folder / "sources")
    write_pdf(
        HAND.make_table(folder / "sources"),
        folder / "report.pdf",
        source_folder=folder / "sources",
    )
    return folder / "report.pdf"


def test_the_pdf_says_what_the_page_says(pdf: Path) -> None:
    """Cautions, standings, meaning, equivalents, evidence, apparatus and digests are in it."""
    text = text_of(pdf)
    for words in (
        "This is not approved data",
        "Verified limits",
        "Not to be relied on as they stand",
        "At most +9 lb/in², over the datum (standard sea level",
        "rounded down",
        "over the datum; ",
        "misread digit",
        "Apparatus of variants",
        "May also read 15 °C (20 %)",
    ):
        assert words in text, words


def test_words_of_a_source_are_words(tmp_path: Path) -> None:
    """Typesetting commands in a title or a note are printed, not obeyed."""
    HAND.make_sources(tmp_path / "sources")
    table = HAND.make_table(tmp_path / "sources")
    evil = "#panic(1) $x$ *bold* [ ] \\ <label> @cite // note"
    table = replace(table, title=evil, notes=(evil,))
    write_pdf(table, tmp_path / "evil.pdf", source_folder=tmp_path / "sources")
    assert text_of(tmp_path / "evil.pdf").count("#panic(1) $x$ *bold* [ ]") >= 2


def test_the_pdf_carries_its_title_and_no_date(pdf: Path) -> None:
    """The file's own record names the table and no day."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        record = document.get_metadata_dict()
    finally:
        document.close()
    assert record["Title"].startswith("Halverne")
    assert record["CreationDate"] in ("", "D:19700101000000Z")


def test_two_processes_set_the_same_bytes(pdf: Path, tmp_path: Path) -> None:
    """Another process, hash seed and time zone give the same file."""
    HAND.make_sources(tmp_path / "sources")
    script = (
        "import importlib.util, sys\nfrom pathlib import Path\n"
        "spec = importlib.util.spec_from_file_location('t', sys.argv[1])\n"
        "t = importlib.util.module_from_spec(spec); spec.loader.exec_module(t)\n"
        "from reconcile.publish.pdf_report import write_pdf\n"
        "folder = Path(sys.argv[2])\n"
        "write_pdf(t.make_table(folder / 'sources'), folder / 'out.pdf',"
        " source_folder=folder / 'sources')\n"
    )
    subprocess.run(
        [sys.executable, "-c", script, str(Path(HAND.__file__ or "")), str(tmp_path)],
        env={"PYTHONHASHSEED": "3", "TZ": "Pacific/Auckland", "PATH": ""},
        cwd=Path(__file__).parents[2],
        check=True,
    )
    mine, other = (hashlib.sha256(p.read_bytes()).hexdigest() for p in (pdf, tmp_path / "out.pdf"))
    assert mine == other


def test_reports_are_written_together(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Page, PDF and dials are written and listed; a table too large to print says so."""
    HAND.make_sources(tmp_path / "sources")
    table = HAND.make_table(tmp_path / "sources")
    written = write_reports(table, tmp_path, source_folder=tmp_path / "sources")
    assert [path.name for path, _ in written] == ["report.html", "report.pdf", "dials"]
    assert all(path.exists() for path, _ in written)
    monkeypatch.setattr("reconcile.publish.page_files.MOST_TO_PRINT", 1)
    written = write_reports(table, tmp_path, source_folder=tmp_path / "sources")
    assert [path.name for path, _ in written] == ["report.html", "dials"]
    assert "no PDF is made" in written[0][1]
    assert not (tmp_path / "report.pdf").exists()
