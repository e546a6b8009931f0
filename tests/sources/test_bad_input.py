"""Inputs that cannot be read: the right class, one sentence, never a foreign exception."""

from __future__ import annotations

import os
import random
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from reconcile.errors import (
    DamagedSourceError,
    EmptySourceError,
    ExitCode,
    MissingSourceError,
    NoTextLayerError,
    OversizeSourceError,
    ReconcileError,
    SourceError,
    UnknownTermError,
    UsageError,
)
from reconcile.sources import opening as opening_module
from reconcile.sources import read_source

PNG = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(40)
JUNK = random.Random(7).randbytes(20_000)


def _zip(path: Path, name: str, data: bytes) -> None:
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(name, data)


# name, content, class, how the sentence goes on after the name
CASES: list[tuple[str, bytes, type[SourceError], str]] = [
    ("empty.pdf", b"", EmptySourceError, "the file is empty"),
    ("empty.txt", b"", EmptySourceError, "the file is empty"),
    ("blank.txt", b" \n\n\t\n", EmptySourceError, "holds blanks only"),
    ("blank.csv", b",,\n,,\n", EmptySourceError, "all its cells are blank"),
    ("blank.html", b"<html><body> </body></html>", EmptySourceError, "holds no words"),
    ("silent.srt", b"1\n00:00:01,000 --> 00:00:02,000\n\n", EmptySourceError, "has time stamps"),
    ("picture.pdf", PNG, DamagedSourceError, "is a PNG picture, whatever its name says"),
    ("picture.png", PNG, NoTextLayerError, "is a PNG picture without text"),
    ("photo", b"\xff\xd8\xff\xe0" + JUNK, NoTextLayerError, "is a JPEG picture without text"),
    ("text.pdf", b"Just some words.", DamagedSourceError, "does not begin as a PDF does"),
    ("cut.pdf", b"%PDF-1.4\n1 0 obj\n", DamagedSourceError, "the end of the file is missing"),
    ("junk.pdf", b"%PDF-1.4\n" + JUNK + b"%%EOF", DamagedSourceError, "is damaged"),
    ("junk.txt", JUNK, DamagedSourceError, "holds binary data, not text"),
    ("junk.bin", JUNK, DamagedSourceError, "holds binary data, not text"),
    ("junk.csv", JUNK, DamagedSourceError, "holds binary data, not text"),
    ("junk.xlsx", JUNK, DamagedSourceError, "does not begin as a workbook does"),
    ("cut.xlsx", b"PK\x03\x04" + JUNK, DamagedSourceError, "is truncated or damaged"),
    ("old.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), DamagedSourceError, "is damaged"),
    ("pack.gz", b"\x1f\x8b\x08\x00" + JUNK, DamagedSourceError, "is a gzip archive"),
    ("prog", b"\x7fELF" + JUNK, DamagedSourceError, "is a program"),
    ("note.rtf", b"{\\rtf1 words}", DamagedSourceError, "is a RTF document"),
    ("quote.csv", b'a,b\n"1,2\n3,4\n', DamagedSourceError, "is no well-formed sheet"),
    ("none.vtt", b"Words without any stamp\n", DamagedSourceError, "holds no time stamps"),
    (
        "cyrillic.txt", "Давление масла не более 8 кг/см".encode("cp1251"), DamagedSourceError,
        "its letters are neither UTF-8 nor Western",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("name", "data", "kind", "says"), CASES, ids=[c[0] for c in CASES])
def test_bad_file(
    tmp_path: Path, name: str, data: bytes, kind: type[SourceError], says: str
) -> None:
    """Each bad file gives its own class, a sentence with its name, and the exit code."""
    path = tmp_path / name
    path.write_bytes(data)
    with pytest.raises(SourceError) as caught:
        list(read_source(path)[1])
    assert type(caught.value) is kind
    message = str(caught.value)
    assert message.startswith(name)
    assert says in message
    assert "\n" not in message and message.endswith(".") and str(tmp_path) not in message
    assert caught.value.exit_code is ExitCode.UNREADABLE_INPUT


def test_missing_things(tmp_path: Path) -> None:
    """No file, a folder, a file taken for a folder, a name that cannot be: all are missing."""
    (tmp_path / "file").write_text("x")
    for path in (tmp_path / "none.pdf", tmp_path, tmp_path / "file" / "x.txt", tmp_path / "a\0b"):
        with pytest.raises(MissingSourceError):
            read_source(path)


def test_pipe_is_refused(tmp_path: Path) -> None:
    """A named pipe would block for ever, so it is not opened."""
    pipe = tmp_path / "pipe.txt"
    os.mkfifo(pipe)
    with pytest.raises(MissingSourceError, match="is not a regular file"):
        read_source(pipe)


def test_no_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that may not be read is named, with what to do."""
    path = tmp_path / "locked.txt"
    path.write_text("words")

    def refuse(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(opening_module, "_pass", refuse)  # chmod does not bind root
    with pytest.raises(MissingSourceError, match=r"^locked\.txt: may not be read; give"):
        read_source(path)


def test_huge_line_is_refused(tmp_path: Path) -> None:
    """A line of fifty megabytes is refused from its length alone, without being held."""
    import tracemalloc

    path = tmp_path / "line.txt"
    with path.open("wb") as stream:
        for _ in range(50):
            stream.write(b"2,850 r.p.m. " * 80_000)
    tracemalloc.start()
    try:
        with pytest.raises(OversizeSourceError, match="one line is longer than 1,000,000 bytes"):
            read_source(path)
        assert tracemalloc.get_traced_memory()[1] < 5_000_000
    finally:
        tracemalloc.stop()


def test_bomb_is_refused(tmp_path: Path) -> None:
    """A workbook that unpacks to hundreds of megabytes is refused before unpacking."""
    path = tmp_path / "bomb.xlsx"
    with (
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("xl/workbook.xml", "w") as stream,
    ):
        for _ in range(210):
            stream.write(bytes(1_000_000))
    with pytest.raises(OversizeSourceError, match="unpacks to 210 MB"):
        read_source(path)


def test_other_archives_are_no_sheets(tmp_path: Path) -> None:
    """A ZIP that is no workbook is named for what it is."""
    path = tmp_path / "pack.zip"
    _zip(path, "a.txt", b"words")
    with pytest.raises(DamagedSourceError, match="is a ZIP archive, not a source"):
        read_source(path)


def test_caller_mistakes(tmp_path: Path) -> None:
    """Unknown words of closed lists and unknown encodings are the caller's mistakes."""
    path = tmp_path / "a.txt"
    path.write_text("words")
    for known in ({"medium": "film"}, {"tradition": "martian"}, {"role": "novel"}):
        with pytest.raises(UnknownTermError, match="expected"):
            read_source(path, **known)
    for encoding in ("klingon", "hex", "a\0b"):
        with pytest.raises(UsageError, match="no text encoding is called"):
            read_source(path, encoding=encoding)
    path.write_bytes("naïve é".encode("latin-1"))
    with pytest.raises(DamagedSourceError, match="cannot be read as utf-8"):
        list(read_source(path, encoding="utf-8")[1])


NAMES = (
    "a.pdf",
    "a.txt",
    "a.md",
    "a.srt",
    "a.vtt",
    "a.csv",
    "a.tsv",
    "a.xlsx",
    "a.html",
    "a.docx",
    "a",
)
STARTS = (
    b"", b"%PDF-1.7\n", b"PK\x03\x04", b"WEBVTT\n\n", b"\xff\xfe", b"\xef\xbb\xbf", b"<html>",
    b"1\n00:00:01,000 --> 00:00:02,000\n", b"[0:01] ", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
)  # fmt: skip


@settings(
    max_examples=120, deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)  # fmt: skip
@given(st.sampled_from(NAMES), st.sampled_from(STARTS), st.binary(max_size=300),
       st.sampled_from((b"", b"%%EOF")))  # fmt: skip
def test_no_foreign_exception(
    tmp_path: Path, name: str, start: bytes, body: bytes, end: bytes
) -> None:
    """Whatever the bytes, a file is read or refused with an error of ours."""
    path = tmp_path / name
    path.write_bytes(start + body + end)
    try:
        for page in read_source(path)[1]:
            assert isinstance(page.text, str)
    except ReconcileError as error:
        assert "\n" not in str(error)


@settings(
    max_examples=40, deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)  # fmt: skip
@given(st.data())
def test_spoilt_pdf(make_pdf: Callable[..., Path], draw: object, data: st.DataObject) -> None:
    """A PDF with bytes overwritten is read or refused, never a crash or a foreign exception."""
    path = make_pdf(draw.prose, draw.ruled, name="spoilt.pdf")  # type: ignore[attr-defined]
    content = bytearray(path.read_bytes())
    for _ in range(data.draw(st.integers(1, 8))):
        at = data.draw(st.integers(0, len(content) - 1))
        content[at : at + 4] = data.draw(st.binary(min_size=4, max_size=4))
    path.write_bytes(content)
    try:
        list(read_source(path)[1])
    except SourceError as error:
        assert str(error).startswith("spoilt.pdf")
