"""The commands readback and profile, from typed words to exit code."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from reconcile.entry import main
from reconcile.errors import ExitCode, UsageError
from reconcile.publish.document import make_document
from reconcile.publish.profile import write_profile
from reconcile.publish.rows import CAUTIONS, build_table
from reconcile.records import Finding, Limit, Witness

NOTES = (
    "ENGINE LIMITATIONS\n\n"
    "Take-off, 5 minutes: boost not over +9 lb./sq.in. at 2,800 r.p.m.\n"
    "Oil pressure not below 45 lb./sq.in.\n"
)
TALK = "[0:02] oil pressure not below forty five pounds\n[0:08] now run up\n"


@pytest.fixture
def notes(tmp_path: Path) -> Path:
    """A typed source."""
    path = tmp_path / "notes.txt"
    path.write_text(NOTES, encoding="utf-8")
    return path


def test_a_file_is_read_back_to_stdout(notes: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The page goes to stdout, its words unchanged, cautions with it."""
    assert main(["readback", str(notes), "--as", "markdown", "--tradition", "british"]) == 0
    out = capsys.readouterr().out
    assert "boost not over <mark>" in out and "kPa" in out
    assert all(caution.split(".")[0] in out for caution in CAUTIONS)


def test_units_and_file_are_chosen(notes: Path, tmp_path: Path) -> None:
    """--unit and --out are obeyed."""
    out = tmp_path / "x.html"
    arguments = ["readback", str(notes), "--unit", "bar", "--out", str(out)]
    assert main([*arguments, "--tradition", "british"]) == ExitCode.CLEAN
    page = out.read_text(encoding="utf-8")
    assert "bar gauge" in page and "kPa gauge" not in page


def test_wrong_words_are_bad_arguments(notes: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """An unknown form or unit, and captions of an untimed source, end with code 2."""
    for arguments in (
        ["--as", "pdf"],
        ["--unit", "furlongs of mercury"],
        ["--as", "srt"],
    ):
        assert main(["readback", str(notes), *arguments]) == ExitCode.BAD_ARGUMENTS
        assert "reconcile: " in capsys.readouterr().err
    assert main(["readback", str(notes) + "x"]) == ExitCode.UNREADABLE_INPUT


def test_a_transcript_becomes_captions(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A talk's readback is SRT with the equivalents under the words."""
    path = tmp_path / "talk.txt"
    path.write_text(TALK, encoding="utf-8")
    assert main(["readback", str(path), "--as", "srt", "--tradition", "british"]) == 0
    out = capsys.readouterr().out
    assert "00:00:02,000 --> 00:00:08,000\noil pressure not below forty five pounds\n[" in out
    assert "= at least 311 kPa gauge;" in out


def test_a_dossier_is_read_back_whole(
    notes: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every source of a dossier is written into made/readback, a talk as captions too."""
    talk = tmp_path / "talk.txt"
    talk.write_text(TALK, encoding="utf-8")
    folder = tmp_path / "dossier"
    assert main(["new", str(folder), str(notes), str(talk), "--tradition", "british"]) == 0
    assert main(["readback", str(folder)]) == ExitCode.CLEAN
    names = {path.name for path in (folder / "made" / "readback").iterdir()}
    assert names == {"notes.txt.html", "talk.txt.html", "talk.txt.srt", "talk.txt.vtt"}
    page = (folder / "made" / "readback" / "notes.txt.html").read_text(encoding="utf-8")
    assert "nothing here says that they were proved" not in page
    assert "unverified" in page  # the standing is said where it is not "verified"


@pytest.fixture
def issued(samples: object, tmp_path: Path) -> Path:
    """A folder with the profile of a little engine."""
    make = samples.figure  # type: ignore[attr-defined]
    psi, rpm = samples.PSI, samples.RPM  # type: ignore[attr-defined]
    source = samples.MANUAL  # type: ignore[attr-defined]
    figures = {
        "b": make("b", "+9 lb", 9, form="fixed_datum", **psi),
        "n": make("n", "2,800", 2800, **rpm),
        "o": make("o", "45 lb", 45, form="gauge", **psi),
        "x": make("x", "+6 lb", 6, form="fixed_datum", **psi),
    }
    limits = (
        Limit("lb", "boost", "take-off", "max", ("b",), 300),  # type: ignore[arg-type]
        Limit("ln", "engine speed", "take-off", "max", ("n",), 300),  # type: ignore[arg-type]
        Limit("lo", "oil pressure", None, "min", ("o",)),
        Limit("lx", "boost", "climb", "max", ("x",)),
    )
    findings = [Finding("twins", "agrees", "e", (), (f,)) for f in ("b", "n", "o")]
    table = build_table("Little", [Witness(source, figures, limits)], findings)
    write_profile(make_document(table), tmp_path / "profile.json")
    return tmp_path


def test_a_profile_is_listed(issued: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without an operating point the verified limits are listed, and what is left out said."""
    assert main(["profile", str(issued), "--format", "json"]) == ExitCode.CLEAN
    done = capsys.readouterr()
    rows = json.loads(done.out)
    assert [row["row_id"] for row in rows] == ["b", "n", "o"]
    assert rows[0]["reference_form"] == "fixed_datum" and rows[0]["time_limit_s"] == 300
    assert "left out: 1 unverified" in done.err and "caution: " in done.err
    assert main(["profile", str(issued), "--condition", "take-off", "-f", "csv"]) == 0
    assert len(capsys.readouterr().out.splitlines()) == 3


def test_an_operating_point_is_judged(issued: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Limits that bind are rows; ratings and times are notes; an exceeded limit is code 1."""
    point = ["--boost", "+8 lb/sq.in.", "--engine-speed", "2,600 r.p.m.", "-f", "json"]
    assert main(["profile", str(issued), *point]) == ExitCode.FINDINGS  # the climb is unproved
    done = capsys.readouterr()
    states = {row["row_id"]: row["state"] for row in json.loads(done.out)}
    assert states == {"b": "within", "n": "within", "x": "cannot tell"}
    assert "may be held as take-off, 300 s" in done.err
    assert "climb: cannot tell" in done.err
    over = ["--boost", "+12 lb/sq.in.", "--condition", "take-off"]
    assert main(["profile", str(issued), *over]) == ExitCode.FINDINGS
    assert "no rating is known to permit this" in capsys.readouterr().err


def test_other_values_are_given_by_name(issued: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--value takes "parameter=figure"; anything else is a bad argument."""
    low = ["--value", "oil pressure=40 lb/sq.in.", "-f", "jsonl"]
    assert main(["profile", str(issued), *low]) == ExitCode.FINDINGS
    assert json.loads(capsys.readouterr().out)["state"] == "not met"
    good = ["--value", "oil pressure=60 lb/sq.in.", "-f", "jsonl"]
    assert main(["profile", str(issued), *good]) == ExitCode.CLEAN
    assert main(["profile", str(issued), "--value", "oil pressure"]) == ExitCode.BAD_ARGUMENTS
    assert "expected" in capsys.readouterr().err
    assert issubclass(UsageError, ValueError)


def test_margins_are_in_the_readers_unit(issued: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The margin stands in SI and in the unit the value was given in."""
    point = ["--boost", "+8 lb/sq.in.", "--engine-speed", "2,600 r.p.m.", "--condition", "take-off"]
    assert main(["profile", str(issued), *point, "-f", "json"]) == ExitCode.CLEAN
    rows = {row["row_id"]: row for row in json.loads(capsys.readouterr().out)}
    assert (rows["b"]["margin_as_given"], rows["b"]["unit_as_given"]) == (1.0, "[psi]")
    assert rows["n"]["margin_as_given"] == 200.0
    assert rows["b"]["unit"] == "Pa" and abs(rows["b"]["margin"] - 6894.757) < 0.01
    main(["profile", str(issued), *point])
    assert "1 lb/in²" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["--value", "oil presure=40 lb/sq.in."], "the profile limits no 'oil presure'"),
        (["--boost", "+8 lb/sq.in.", "--condition", "takeoff"], "no limit for the condition"),
        (["--condition", "takeoff"], "take-off"),
        (["--boost", "+8 lb/sq.in.", "--gear", "third"], "expected low or high"),
        (["--gear", "third"], "expected low or high"),
        (["--height", "10000"], "has no unit"),
    ],
)
def test_unknown_names_are_refused(
    issued: Path, capsys: pytest.CaptureFixture[str], options: list[str], says: str
) -> None:
    """A name that the profile does not know is an error, never an empty answer."""
    assert main(["profile", str(issued), *options]) == ExitCode.BAD_ARGUMENTS
    assert says in capsys.readouterr().err


def test_an_unissued_folder_is_unreadable_input(tmp_path: Path) -> None:
    """No profile there: code 3."""
    assert main(["profile", str(tmp_path)]) == ExitCode.UNREADABLE_INPUT
