"""The commands marks and gauges, end to end on a small dossier."""

from __future__ import annotations

import csv
import json
from io import StringIO
from pathlib import Path
from xml.etree import ElementTree

import pytest

from reconcile.entry import main
from reconcile.errors import ExitCode

TEXT = (
    "Oil pressure, normal, 60 to 75 lb./sq. in.\n"
    "Oil pressure, minimum, 45 lb./sq. in.\n"
    "Boost, take-off, max. +9 lb./sq. in.\n"
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A dossier of two copies of one text, so that each can verify the other."""
    root = tmp_path_factory.mktemp("marks")
    for name in ("a.txt", "b.txt"):
        (root / name).write_text(TEXT + name + "\n", encoding="utf-8")
    made = root / "dossier"
    assert main(["new", str(made), str(root / "a.txt"), str(root / "b.txt")]) == 0
    return made


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(text)))


def test_marks_as_rows_and_as_a_drawing(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Marks come as rows on stdout, cautions on stderr, and the dial as a file."""
    svg = tmp_path / "oil.svg"
    code = main(
        ["marks", str(folder), "--gauge", "oil-0-100-psi", "--parameter", "oil pressure",
         "--all", "--svg", str(svg), "--diameter-mm", "57.15", "-f", "csv"]
    )  # fmt: skip
    out = capsys.readouterr()
    found = rows(out.out)
    assert code == ExitCode.CLEAN
    assert {(r["lo"], r["hi"], r["unit"]) for r in found} >= {("60", "75", "[psi]")}
    assert all(r["row_ids"] for r in found)
    assert "not approved markings" in out.err
    root = ElementTree.fromstring(svg.read_text(encoding="utf-8"))
    assert root.get("role") == "img"


def test_what_the_gauge_cannot_show_is_a_finding(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A refused limit ends with the exit code of findings, and its row says why."""
    code = main(
        ["marks", str(folder), "--gauge", "pressure-0-4-bar", "--parameter", "boost", "--all",
         "-f", "json"]
    )  # fmt: skip
    found = json.loads(capsys.readouterr().out)
    assert code == ExitCode.FINDINGS
    assert found and all("boost needs an absolute one" in row["why_not"] for row in found)


def test_nothing_marked_is_said(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A gauge without one mark is a finding, and a note says so."""
    code = main(["marks", str(folder), "--gauge", "pressure-0-4-bar", "--parameter", "boost"])
    err = capsys.readouterr().err
    assert code == ExitCode.FINDINGS
    assert "nothing could be marked" in err
    assert "read a.txt" not in err


def test_the_table_says_what_the_uncertainty_counts_in(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """For a person each uncertainty has its unit and its coverage factor, each mark its word."""
    main(["marks", str(folder), "--gauge", "oil-0-100-psi", "--parameter", "oil pressure", "--all"])
    out = " ".join(capsys.readouterr().out.split())
    assert "U (k=2)" in out and "±2.6 lb/in²" in out and "minimum" in out
    assert "index-" not in out and "limit-" not in out


def test_a_calibration_and_a_described_gauge(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A gauge of one's own, with its calibration, moves the marks to what it shows."""
    gauge = tmp_path / "mine.toml"
    gauge.write_text(
        'unit = "pound-force-per-square-inch"\nform = "gauge"\nlo = 0\nhi = 100\n'
        "division = 1\naccuracy = 2\n",
        encoding="utf-8",
    )
    table = tmp_path / "c.csv"
    table.write_text("reading,true,uncertainty\n0,0,0.5\n104,100,0.5\n", encoding="utf-8")
    main(
        ["marks", str(folder), "--gauge", str(gauge), "--calibration", str(table),
         "--parameter", "oil pressure", "--all", "-f", "csv"]
    )  # fmt: skip
    found = rows(capsys.readouterr().out)
    assert ("63", "78") in {(r["lo"], r["hi"]) for r in found}  # 62.4 up, 78.0 exactly


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--gauge", "no-such", "--parameter", "boost"], "no gauge 'no-such'"),
        (["--gauge", "no-such", "--parameter", "boost"], "see `reconcile gauges`"),
        (["--gauge", "oil-0-100-psi", "--parameter", "bost"], "the table limits no 'bost'"),
        (["--gauge", "none.toml", "--parameter", "boost"], "cannot be read"),
        (
            ["--gauge", "oil-0-100-psi", "--parameter", "oil pressure", "--svg", "/no/such/x.svg"],
            "cannot be written",
        ),
    ],
)
def test_bad_arguments_are_one_sentence(
    folder: Path, options: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is wrong is said in one sentence, with no traceback."""
    code = main(["marks", str(folder), *options])
    out = capsys.readouterr()
    assert code in (ExitCode.BAD_ARGUMENTS, ExitCode.UNREADABLE_INPUT)
    assert says in out.err and "Traceback" not in out.err


def test_gauges_are_listed_and_searched(capsys: pytest.CaptureFixture[str]) -> None:
    """The list of gauges is the table's, and words narrow it."""
    assert main(["gauges", "suction", "-f", "csv"]) == ExitCode.CLEAN
    found = rows(capsys.readouterr().out)
    assert {r["slug"] for r in found} == {"suction-0-10-inhg", "vacuum-minus-1-0-bar"}
    assert main(["gauges", "no such thing", "-f", "csv"]) == ExitCode.FINDINGS
