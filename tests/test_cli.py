"""The command line: every command answers in every form, documented, and quick to start."""

from __future__ import annotations

import csv
import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

import reconcile
from reconcile.cli import app
from reconcile.commands import figure as figure_command
from reconcile.entry import main
from reconcile.errors import ExitCode

README = Path(__file__).parent.parent / "README.md"
FORMS = ("table", "csv", "json", "jsonl")


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    code = main(arguments)
    out, err = capsys.readouterr()
    return code, out, err


def parsed(out: str, form: str) -> list[dict[str, object]]:
    if form == "json":
        return json.loads(out)
    if form == "jsonl":
        return [json.loads(line) for line in out.splitlines()]
    return list(csv.DictReader(io.StringIO(out)))


@pytest.fixture
def dossier(tmp_path: Path) -> Path:
    """A dossier with a fault to find: the transcription has one figure wrong."""
    manual = tmp_path / "manual.txt"
    manual.write_text(
        "Oil pressure: normal 80 lb./sq.in. (5.6 kg/cm²), minimum 60 lb./sq.in.\n"
        "Take-off: 3,000 r.p.m. and +8 lb./sq.in. boost, 5 minutes limit.\n"
    )
    copy = tmp_path / "copy.txt"
    copy.write_text(
        "Oil pressure: normal 80 lb./sq.in. (5.6 kg/cm²), minimum 60 lb./sq.in.\n"
        "Take-off: 3,000 r.p.m. and +18 lb./sq.in. boost, 5 minutes limit.\n"
    )
    root = tmp_path / "dossier"
    assert main(["new", str(root), str(manual), "--tradition", "british"]) == 0
    assert (
        main(
            [
                "add",
                str(root),
                str(copy),
                "--tradition",
                "british",
                "--role",
                "transcription",
                "--of",
                "manual.txt",
            ]
        )
        == 0
    )
    return root


@pytest.mark.parametrize("form", FORMS[1:])
@pytest.mark.parametrize(
    "arguments",
    [
        ("figure", "+6 lb./sq.in. boost"),
        ("atmosphere", "18,000 ft"),
        ("factors", "gallon"),
        ("compare", "oil pressure 80 lb./sq.in.", "oil pressure 5.6 kg/cm2"),
    ],
)
def test_answers_can_be_parsed(
    capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], form: str
) -> None:
    """Each machine-readable form holds the same rows and nothing else."""
    code, out, _ = run(capsys, *arguments, "--format", form)
    assert code == ExitCode.CLEAN
    rows = parsed(out, form)
    assert rows
    assert all(rows[0].keys() == row.keys() for row in rows)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("command", ["read", "check", "issue"])
def test_stages_answer_in_every_form(
    capsys: pytest.CaptureFixture[str], dossier: Path, command: str, form: str
) -> None:
    """The stages of a dossier answer in every form; progress goes to stderr."""
    capsys.readouterr()
    code, out, err = run(capsys, command, str(dossier), "--format", form)
    assert code in (ExitCode.CLEAN, ExitCode.FINDINGS)
    # Only the stage that reads repeats what the dossier holds.
    assert ("read manual.txt" in err) == (command == "read")
    assert err.strip()
    assert "read manual.txt" not in out
    if form != "table":
        assert parsed(out, form)


def test_a_reading_fits_80_columns_with_whole_words(
    capsys: pytest.CaptureFixture[str], dossier: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each source's name stands once over its figures, and no word is broken."""
    monkeypatch.setenv("COLUMNS", "80")
    capsys.readouterr()
    _, out, _ = run(capsys, "read", str(dossier))
    lines = out.splitlines()
    assert max(map(len, lines)) <= 80
    assert [line.strip() for line in lines].count("manual.txt") == 1
    words = set(out.split())
    assert {"pressure,", "normal", "lb./sq.in.", "take-off", "boost,", "kg/cm²"} <= words


def test_tables_keep_to_the_screen_whatever_they_hold(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Many columns of long words still fit; what is too long is folded, and nothing is cut."""
    from reconcile.commands.output import Form, write_rows

    monkeypatch.setenv("COLUMNS", "80")
    columns = [f"column_{n}" for n in range(8)]
    rows = [{c: f"{'word' * (n + 1)} {n}" for n, c in enumerate(columns)}]
    write_rows(rows, Form.TABLE, columns=columns)
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    told = [c for c in out if c in "w01234567"]
    assert told.count("w") == sum(range(1, 9))
    assert all(told.count(str(n)) == 2 for n in range(8))


def test_a_planted_fault_is_found_and_ruled_on(
    capsys: pytest.CaptureFixture[str], dossier: Path
) -> None:
    """The whole job: the wrong figure contradicts, is explained, ruled on, and issued."""
    capsys.readouterr()
    code, out, _ = run(capsys, "check", str(dossier), "--format", "json")
    assert code == ExitCode.FINDINGS
    bad = [f for f in json.loads(out) if f["verdict"] == "contradicts"]
    assert any("+18" in f["evidence"] for f in bad)
    code, out, _ = run(capsys, "explain", str(dossier), str(bad[0]["number"]))
    assert code == ExitCode.CLEAN
    assert "contradicts" in out
    _, out, _ = run(capsys, "read", str(dossier), "--format", "json")
    wrong = next(f for f in json.loads(out) if f["as_written"].startswith("+18"))
    code, _, err = run(
        capsys,
        "rule",
        str(dossier),
        wrong["id"],
        "emend",
        "--who",
        "A. Reader",
        "--reading",
        "+8 lb./sq.in.",
        "--reason",
        "the manual has +8",
    )
    assert code == ExitCode.CLEAN, err
    run(capsys, "issue", str(dossier))
    table = reconcile.load_table(
        dossier / "made" / "limits.json", verified_only=True, lead_only=False
    )
    row = table[table["row_id"] == wrong["id"]].iloc[0]
    assert row["nominal"] == 8
    assert row["ruled_by"] == "A. Reader"


def test_a_ruling_on_nothing_is_refused(capsys: pytest.CaptureFixture[str], dossier: Path) -> None:
    """A ruling has to name a figure or limit of the dossier."""
    code, _, err = run(capsys, "rule", str(dossier), "no-such-id", "accept", "--who", "A")
    assert code == ExitCode.BAD_ARGUMENTS
    assert "no-such-id" in err


@pytest.mark.parametrize(
    "text",
    [
        "+6½ lb./sq.in. boost",
        "oil pressure 75 lb/sq in minimum",
        "Ladedruck 1,42 ata",
        "8? gal",
        "oil temperature not over 1200C",
        "2,850 r.p.m. for 5 minutes",
        "cylinder head temperature 15° to 260° C",
        "time limit 5 minutes",
    ],
)
def test_a_figure_is_told_within_80_columns(capsys: pytest.CaptureFixture[str], text: str) -> None:
    """The answer for a person fits a plain terminal, and a pressure never stands bare."""
    _, out, _ = run(capsys, "figure", text)
    lines = out.splitlines()
    assert max(map(len, lines)) <= 80
    forms = ("absolute", "gauge", "over the datum", "below ambient", "differential", "not known")
    for line in lines:
        if line.startswith(("SI ", "Absolute", "Gauge ", "Reads")) and " Pa" in line:
            assert any(form in line for form in forms), line


def test_a_gauge_figure_at_a_height(capsys: pytest.CaptureFixture[str]) -> None:
    """With the height given, a gauge pressure has an absolute value.

    75 lb/in2 over the ISO 2533:1975 ambient of 57181.9 Pa at 15 000 ft.
    """
    _, out, _ = run(
        capsys, "figure", "oil pressure 75 lb/sq in", "--height", "15,000 ft", "--format", "json"
    )
    assert json.loads(out)[0]["absolute_pa"] == pytest.approx(75 * 6894.757293 + 57181.9, abs=1)


def test_the_safe_side_costs_little_of_the_last_place(capsys: pytest.CaptureFixture[str]) -> None:
    """The safe side keeps the printed figure's places, with the exact value beside it.

    120 °C is 248 °F and 393.15 K exactly; 9 lb/in2 over 101 325 Pa is 48.245 in. Hg, worked
    out apart with the inch of mercury of NIST SP 811, appendix B.8.
    """
    _, out, _ = run(capsys, "figure", "coolant temperature must not exceed 120 C")
    assert "not over 248 °F\n" in out
    assert "not over 393.1 K (from 393.15)" in out
    _, out, _ = run(capsys, "figure", "manifold pressure must not exceed 47.5 in. Hg")
    assert "not over 47.5 in. Hg absolute\n" in out
    _, out, _ = run(capsys, "figure", "boost not over +9 lb./sq. in.")
    assert "not over 48.2 in. Hg absolute (from 48.24544)" in out


def test_a_ranges_budget_names_both_ends(capsys: pytest.CaptureFixture[str]) -> None:
    """The uncertainty of a range holds at each end, and both are named."""
    _, out, _ = run(capsys, "figure", "oil pressure 60 to 75 lb/sq in")
    assert "at each end; ends 413700 and 517100 Pa" in out
    assert "evaluation" in out and "sensitivity" in out


def test_numbers_stay_numbers_in_csv(capsys: pytest.CaptureFixture[str]) -> None:
    """A cell that is all number is left alone; words that a sheet would reckon are guarded."""
    _, out, _ = run(capsys, "figure", "-5 lb/sq.in. boost", "-f", "csv")
    row = parsed(out, "csv")[0]
    assert row["nominal"] == "-5"
    assert row["as_written"] == "'-5 lb/sq.in."
    from reconcile.commands.output import _in_a_cell

    assert [_in_a_cell(x) for x in ("+6", "-.5", "1e-3", -2, -2.5)] == [
        "+6", "-.5", "1e-3", "-2", "-2.5"
    ]  # fmt: skip
    assert [_in_a_cell(x) for x in ("-5+1", "=1", "@x", "-5 lb", "+6½")] == [
        "'-5+1", "'=1", "'@x", "'-5 lb", "'+6½"
    ]  # fmt: skip


@pytest.mark.parametrize("height", ["10000", "10,000", "-200", "0"])
def test_a_bare_number_is_no_height(capsys: pytest.CaptureFixture[str], height: str) -> None:
    """Feet and metres are both usual, so a number without its unit is refused."""
    code, out, err = run(capsys, "atmosphere", height)
    assert code == ExitCode.BAD_ARGUMENTS and not out
    assert "has no unit" in err and "feet or metres" in err


@pytest.mark.parametrize(
    ("height", "kelvin"), [("-200 m", 289.45), ("-200 ft", 288.54624), ("36,000 ft", 216.8268)]
)
def test_heights_below_the_sea_are_heights(
    capsys: pytest.CaptureFixture[str], height: str, kelvin: float
) -> None:
    """A height may begin with a minus sign; temperatures are 288.15 K - 6.5 K/km, ISO 2533."""
    code, out, _ = run(capsys, "atmosphere", height, "--format", "json")
    assert code == ExitCode.CLEAN
    assert json.loads(out)[0]["value"] == pytest.approx(kelvin, abs=1e-4)


def test_figures_below_nought_can_be_compared(capsys: pytest.CaptureFixture[str]) -> None:
    """Figures that begin with a minus sign are no options."""
    code, out, err = run(
        capsys, "compare", "-2 lb./sq.in. boost", "-2 lb./sq.in. boost", "-f", "json"
    )
    assert code == ExitCode.CLEAN, err
    assert json.loads(out)[0]["verdict"] == "agrees"


def test_the_quick_path_knows_the_frameworks_options() -> None:
    """The one-figure command takes the same options with and without the framework."""
    command = next(c for c in app.registered_commands if c.callback.__name__ == "figure")
    names = {
        p.name.replace("_", "-")
        for p in __import__("inspect").signature(command.callback).parameters.values()
    }
    quick = {o.removeprefix("--") for o in figure_command.OPTIONS if o.startswith("--")}
    assert quick == {"format" if n == "form" else n for n in names - {"text"}}


def test_the_quick_path_leaves_the_rest_to_the_framework() -> None:
    """Help, unknown options and missing values are not for the quick path."""
    assert figure_command.parse_plain(["80 lb", "--help"]) is None
    assert figure_command.parse_plain(["80 lb", "--colour", "red"]) is None
    assert figure_command.parse_plain(["80 lb", "--unit"]) is None
    assert figure_command.parse_plain(["80", "lb"]) is None
    assert figure_command.parse_plain(["-2 lb. boost", "--year=1943"]) == {
        "text": "-2 lb. boost",
        **figure_command._DEFAULTS,
        "year": 1943,
    }


def test_every_command_and_option_has_help_and_a_place_in_the_readme() -> None:
    """A command nobody can find is no command."""
    readme = README.read_text(encoding="utf-8")
    for command in app.registered_commands:
        assert command.callback is not None
        name = command.name or command.callback.__name__
        assert command.callback.__doc__, name
        assert f"reconcile {name}" in readme, name
        for parameter in __import__("inspect").signature(command.callback).parameters.values():
            text = str(parameter.annotation)
            assert "help=" in text or "Option" in text or "Argument" in text, (name, parameter)


@pytest.mark.parametrize("environment", [{"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_plain_terminals_get_plain_text(environment: dict[str, str]) -> None:
    """Without colour, help and tables hold no escape sequences and fit 80 columns."""
    for arguments in (["--help"], ["factors", "gallon"], ["atmosphere", "18,000 ft"]):
        done = subprocess.run(
            [sys.executable, "-m", "reconcile", *arguments],
            capture_output=True,
            text=True,
            env={**os.environ, "COLUMNS": "80", **environment},
            check=True,
        )
        assert "\x1b" not in done.stdout
        assert max(map(len, done.stdout.splitlines())) <= 80


def test_a_demo_folder_in_use_is_left_alone(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """The demo never writes into a folder that holds something."""
    (tmp_path / "mine.txt").write_text("mine")
    code, _, err = run(capsys, "demo", str(tmp_path))
    assert code == ExitCode.UNREADABLE_INPUT
    assert "not empty" in err
    assert [p.name for p in tmp_path.iterdir()] == ["mine.txt"]
