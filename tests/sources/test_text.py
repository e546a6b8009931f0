"""Typed text and Markdown: encodings, form feeds, long files."""

from __future__ import annotations

import codecs
import hashlib
from pathlib import Path

import pytest

from reconcile.notation.grid import find_grids
from reconcile.sources import read_source, source_of

WORDS = "Oil pressure 80 lb./sq.in., suction 4½ in., 125°C.\nBoost +6."


def test_source_record(tmp_path: Path) -> None:
    """The id is the head of the digest; what the caller knows is kept."""
    path = tmp_path / "a.txt"
    path.write_text(WORDS, encoding="utf-8")
    source = source_of(path, title="Notes", edition="2nd", role="transcription", of="abc")
    assert source.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert source.id == source.sha256[:12]
    assert (source.title, source.edition, source.role, source.of) == (
        "Notes", "2nd", "transcription", "abc",
    )  # fmt: skip
    assert (source.medium, source.notes) == ("text", ())


@pytest.mark.parametrize(
    ("encoding", "given", "note"),
    [
        ("utf-8", "", ""),
        ("utf-8-sig", "", ""),
        ("utf-16", "", ""),
        ("utf-16-le", "", "UTF-16 little-endian"),
        ("utf-16-be", "", "UTF-16 big-endian"),
        ("utf-32", "", ""),
        ("cp1252", "", "Windows-1252"),
        ("cp1252", "cp1252", ""),
        ("mac-roman", "mac-roman", ""),
    ],
)
def test_encodings(tmp_path: Path, encoding: str, given: str, note: str) -> None:
    """Text comes back whole in each encoding, and a supposed one is noted."""
    words = WORDS.replace("½", "1/2") if encoding == "mac-roman" else WORDS
    path = tmp_path / "a.txt"
    path.write_bytes(words.encode(encoding))
    source, pages = read_source(path, encoding=given)
    assert [page.text for page in pages] == [words]
    assert all(note in n for n in source.notes) and bool(source.notes) == bool(note)


@pytest.mark.parametrize(
    ("encoding", "words"),
    [
        ("cp1251", "Давление масла не более 8 кг/см"),
        ("koi8-r", "Обороты 2400 об/мин"),
        ("shift_jis", "吸入圧力 +200粍"),
    ],
)
def test_named_encodings(tmp_path: Path, encoding: str, words: str) -> None:
    """An encoding that cannot be told from the bytes is taken on the caller's word."""
    path = tmp_path / "a.txt"
    path.write_bytes(words.encode(encoding))
    _, pages = read_source(path, encoding=encoding)
    assert next(pages).text == words


def test_bytes_without_a_letter_are_kept(tmp_path: Path) -> None:
    """The five bytes Windows-1252 leaves open do not stop the reading."""
    path = tmp_path / "a.txt"
    path.write_bytes(b"Temperature 80\xb0C. and \x81 a stray byte\r\nBoost +6")
    source, pages = read_source(path)
    assert next(pages).text == "Temperature 80°C. and \x81 a stray byte\nBoost +6"
    assert source.notes


def test_form_feeds_part_pages(tmp_path: Path) -> None:
    """Each form feed begins a page; an empty page between two keeps its number."""
    path = tmp_path / "a.txt"
    path.write_bytes(b"First\r\n- 1 -\r\n\fSecond\n\f\fFourth\n\x1a")
    _, stream = read_source(path)
    pages = list(stream)
    assert [(p.number, p.text) for p in pages] == [
        (1, "First\n- 1 -"), (2, "Second"), (3, ""), (4, "Fourth"),
    ]  # fmt: skip
    assert pages[0].printed_number == "1"


def test_long_text_is_cut_at_blank_lines(tmp_path: Path) -> None:
    """A text without form feeds comes in stretches, nothing of it lost."""
    path = tmp_path / "a.txt"
    paragraph = "Open up to 2,850 r.p.m. and +6 lb./sq.in. boost.\n" * 20 + "\n"
    path.write_text(paragraph * 600)
    pages = [page.text for page in read_source(path)[1]]
    assert len(pages) > 2
    assert "\n\n".join(pages) + "\n\n" == paragraph * 600


def test_markdown_keeps_its_tables(tmp_path: Path) -> None:
    """A Markdown table stays one, and is read as a grid."""
    path = tmp_path / "a.md"
    path.write_text("# Limits\n\n| Rating | Boost |\n|---|---|\n| Climb | +9 |\n| Cruise | +4 |\n")
    source, pages = read_source(path)
    assert source.medium == "markdown"
    [grid] = find_grids(next(pages).text)
    assert len(grid.cells) == 2


def test_content_overrules_the_name(tmp_path: Path) -> None:
    """Captions in a .txt are read as captions; a web page in a .txt says what it is."""
    path = tmp_path / "talk.txt"
    path.write_text("[0:01] open her up\n[0:04] plus six\n")
    assert source_of(path).medium == "captions"
    path.write_text("<!DOCTYPE html><html><body>Boost +6</body></html>")
    source = source_of(path)
    assert source.medium == "html"
    assert "read as that" in source.notes[0]
    assert source_of(path, medium="text").medium == "text"


def test_byte_order_mark_is_no_letter(tmp_path: Path) -> None:
    """The mark at the head of a file is not part of the text."""
    path = tmp_path / "a.txt"
    path.write_bytes(codecs.BOM_UTF8 + b"Boost +6")
    assert next(read_source(path)[1]).text == "Boost +6"
