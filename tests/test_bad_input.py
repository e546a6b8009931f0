"""Bad input gets one sentence and the right exit code, and costs no other input its result."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from reportlab.lib.pdfencrypt import StandardEncryption
from reportlab.pdfgen.canvas import Canvas

from reconcile.entry import main
from reconcile.errors import ExitCode

PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c49444154789c63"
    "f8cfc0000003010100c9fe92ef0000000049454e44ae426082"
)


def pdf(path: Path, *, text: str = "Oil pressure 80 lb./sq.in.", encrypt: bool = False) -> None:
    lock = StandardEncryption("secret", canPrint=0) if encrypt else None
    canvas = Canvas(str(path), invariant=1, encrypt=lock)
    for _ in range(20):
        if text:
            canvas.drawString(72, 700, text)
        else:
            canvas.rect(72, 600, 100, 50, fill=1)
        canvas.showPage()
    canvas.save()


def empty(path: Path) -> None:
    path.write_bytes(b"")


def blank(path: Path) -> None:
    path.write_text(" \n\n \t\n")


def image_only(path: Path) -> None:
    pdf(path, text="")


def encrypted(path: Path) -> None:
    pdf(path, encrypt=True)


def truncated(path: Path) -> None:
    pdf(path)
    path.write_bytes(path.read_bytes()[:900])


def png_named_pdf(path: Path) -> None:
    path.write_bytes(PNG)


def junk(path: Path) -> None:
    path.write_bytes(bytes((i * 7919 + i // 251) % 256 for i in range(20_000)))


def missing(path: Path) -> None:
    path.unlink(missing_ok=True)


def folder(path: Path) -> None:
    path.mkdir()


def not_a_workbook(path: Path) -> None:
    path.write_bytes(b"PK\x03\x04 this is no workbook")


CASES: list[tuple[str, Callable[[Path], None], str]] = [
    ("empty.txt", empty, "empty|holds nothing|no text"),
    ("empty.pdf", empty, "empty|holds nothing"),
    ("blank.txt", blank, "blanks only|holds nothing"),
    ("pictures.pdf", image_only, "text layer"),
    ("locked.pdf", encrypted, "password|encrypted|locked"),
    ("cut.pdf", truncated, "truncated|damaged|cut|cannot be opened"),
    ("picture.pdf", png_named_pdf, "PNG|picture|image"),
    ("junk.txt", junk, "not text|binary"),
    ("junk.pdf", junk, "not a PDF|damaged|binary|not text|does not begin as a PDF"),
    ("missing.txt", missing, "no such file"),
    ("folder.txt", folder, "folder"),
    ("sheet.xlsx", not_a_workbook, "workbook|sheet|damaged"),
]


@pytest.mark.parametrize(("name", "make", "says"), CASES, ids=[c[0] for c in CASES])
def test_a_bad_file_is_refused_in_one_sentence(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    name: str,
    make: Callable[[Path], None],
    says: str,
) -> None:
    """The message names the file, says what is wrong, and the good file is still read."""
    import re

    bad, good = tmp_path / name, tmp_path / "good.txt"
    make(bad)
    good.write_text("Oil pressure: normal 80 lb./sq.in.\n")
    code = main(["read", str(bad), str(good), "--format", "csv"])
    out, err = capsys.readouterr()
    assert code == ExitCode.UNREADABLE_INPUT
    assert "Traceback" not in err
    lines = [line for line in err.splitlines() if line.startswith("reconcile:")]
    assert len(lines) == 1, err
    assert name in lines[0]
    assert re.search(says, lines[0], re.IGNORECASE), lines[0]
    assert "80 lb./sq.in." in out


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may open anything")
def test_a_file_without_permission_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file that may not be opened is reported as such."""
    path = tmp_path / "secret.txt"
    path.write_text("Oil pressure 80 lb./sq.in.")
    path.chmod(0)
    assert main(["read", str(path)]) == ExitCode.UNREADABLE_INPUT
    assert "permission" in capsys.readouterr().err


def test_a_huge_line_stays_in_bounded_memory(tmp_path: Path) -> None:
    """A 50 MB line is read or refused within 600 MB, without a traceback."""
    path = tmp_path / "huge.txt"
    with path.open("w") as stream:
        for _ in range(50):
            stream.write("x" * 1_000_000)
    script = (
        "import resource, sys\n"
        "from reconcile.entry import main\n"
        f"code = main(['read', {str(path)!r}, '--format', 'jsonl'])\n"
        "peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "print(code, peak, file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    code, peak = done.stderr.split()[-2:]
    assert int(code) in (ExitCode.CLEAN, ExitCode.UNREADABLE_INPUT)
    assert int(peak) < 600_000
    assert "Traceback" not in done.stderr


def test_a_bad_source_costs_a_dossier_only_itself(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """In a dossier the other sources are read and the failure is told."""
    good, bad = tmp_path / "good.txt", tmp_path / "bad.pdf"
    good.write_text("Oil pressure: normal 80 lb./sq.in., minimum 60 lb./sq.in.\n")
    bad.write_bytes(PNG)
    root = tmp_path / "dossier"
    assert main(["new", str(root), str(good), str(bad), "--tradition", "british"]) == 0
    assert main(["read", str(root), "--format", "csv"]) == ExitCode.UNREADABLE_INPUT
    out, err = capsys.readouterr()
    assert "80 lb./sq.in." in out
    assert "bad.pdf" in err


@pytest.mark.parametrize(
    "arguments",
    [
        ["read"],
        ["no-such-command"],
        ["figure"],
        ["figure", "80 lb", "--no-such-option"],
        ["figure", "80 lb./sq.in.", "--tradition", "martian"],
        ["figure", "80 lb./sq.in.", "--unit", "furlong"],
        ["figure", "no number here"],
        ["figure", ""],
        ["atmosphere", "hello"],
        ["atmosphere", "900 km"],
        ["atmosphere", "nan"],
        ["factors", "no-such-unit"],
    ],
)
def test_bad_arguments_end_with_their_code(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """Bad arguments end with code 2, a message and no traceback."""
    assert main(arguments) == ExitCode.BAD_ARGUMENTS
    err = capsys.readouterr().err
    assert err.strip()
    assert "Traceback" not in err


def test_a_folder_that_is_no_dossier(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Checking a folder that is no dossier says what was expected."""
    assert main(["check", str(tmp_path)]) == ExitCode.UNREADABLE_INPUT
    assert "dossier.toml" in capsys.readouterr().err


@pytest.mark.parametrize(
    "text",
    [
        "title = ",
        "title = 'a'\n[[source]]\nfile='../x'\n",
        "title = 'a'\n[[source]]\ncolour='red'\n",
        "title='a'\n[[source]]\nfile='x'\ntradition='martian'\n",
    ],
)
def test_a_faulty_dossier_file_is_refused(
    tmp_path: Path, text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """dossier.toml with a fault is refused, naming the file."""
    (tmp_path / "dossier.toml").write_text(text)
    assert main(["read", str(tmp_path)]) in (ExitCode.UNREADABLE_INPUT, ExitCode.BAD_ARGUMENTS)
    assert "dossier.toml" in capsys.readouterr().err
