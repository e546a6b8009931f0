"""A person's reading is taken to the letter or refused, never mended."""

from __future__ import annotations

from pathlib import Path

import pytest

from reconcile.dossier import make_dossier
from reconcile.emending import read_emendation
from reconcile.entry import main
from reconcile.errors import ExitCode, RefusedRulingError
from reconcile.reading import read_text
from reconcile.rulings import append_ruling
from reconcile.work import make_table

TEXT = "Oil temperature 120°C. max. Oil pressure 55 lb./sq. in. minimum. Boost +9 lb./sq. in.\n"
OIL_TEMPERATURE, OIL_PRESSURE, BOOST = read_text(TEXT, "british").figures


@pytest.mark.parametrize(
    ("figure", "reading", "value", "form"),
    [
        (OIL_TEMPERATURE, "200 °C", 200, "none"),
        (OIL_TEMPERATURE, "1200", 1200, "none"),
        (OIL_PRESSURE, "500 lb./sq. in.", 500, "gauge"),
        (OIL_PRESSURE, "5.5 kg/cm²", 5.5, "gauge"),
        (OIL_PRESSURE, "60", 60, "gauge"),
        (BOOST, "-9", -9, "fixed_datum"),
    ],
)
def test_a_reading_is_taken_to_the_letter(figure, reading, value, form) -> None:
    """However unlikely the value, it is the person's to rule."""
    new = read_emendation(reading, figure, "british")
    assert float(new.nominal) == value
    assert new.status == "read"
    assert new.reference_form == form
    assert new.id == figure.id


@pytest.mark.parametrize(
    ("figure", "reading", "message"),
    [
        (OIL_PRESSURE, "soup", "no figure"),
        (OIL_PRESSURE, "", "empty"),
        (OIL_PRESSURE, "60 gallons", "expected a value of the same kind"),
        (OIL_TEMPERATURE, "1200C", "not plain"),
        (OIL_PRESSURE, "6? lb./sq. in.", "not plain"),
        (OIL_PRESSURE, "60 lb./sq. in. or so I think", "expected the figure alone"),
    ],
)
def test_what_is_no_plain_reading_is_refused(figure, reading, message) -> None:
    """A reading that would need mending, or is of another kind, is refused with the reason."""
    with pytest.raises(RefusedRulingError, match=message):
        read_emendation(reading, figure, "british")


def test_a_refused_reading_is_not_recorded(tmp_path: Path, capsys) -> None:
    """The command says what was wrong and writes nothing."""
    source = tmp_path / "card.txt"
    source.write_text(TEXT)
    dossier = make_dossier(tmp_path / "d", [source], tradition="british")
    target = make_table(dossier).rows[0].figure.id
    code = main(
        ["rule", str(dossier.root), target, "emend", "--who", "A", "--reading", "60 gallons"]
    )
    assert code == ExitCode.BAD_ARGUMENTS
    assert "same kind" in capsys.readouterr().err
    assert dossier.rulings() == ()


def test_an_old_ruling_that_cannot_be_applied_costs_no_other(tmp_path: Path) -> None:
    """A reading written into the file by hand is noted with its number; the rest is issued."""
    source = tmp_path / "card.txt"
    source.write_text(TEXT)
    dossier = make_dossier(tmp_path / "d", [source], tradition="british")
    first, second, _ = (row.figure.id for row in make_table(dossier).rows)
    append_ruling(dossier.rulings_path, first, "emend", who="A", reading="soup")
    append_ruling(dossier.rulings_path, second, "emend", who="A", reading="60")
    table = make_table(dossier)
    assert any(note.startswith("ruling 1 on") for note in table.notes)
    rows = {row.figure.id: row for row in table.rows}
    assert rows[first].standing != "verified"
    assert (rows[second].standing, rows[second].figure.nominal) == ("verified", 60)
