"""Figures that cannot be read stay figures, without a value."""

from __future__ import annotations

import pytest

import reconcile

BLOTTED = [
    ("Öldruck normal 4,? atü", "german", "4,? atü", "att"),
    ("Ladedruck 1,3■ ata", "german", "1,3■ ata", "att"),
    ("Öl [unleserlich] atü", "german", "[unleserlich] atü", "att"),
    ("Öldruck ...... atü.", "german", "...... atü.", "att"),
    ("вес 2 4?0 кг", "soviet", "2 4?0 кг", "kg"),
    ("скорость нрзб. км/час", "soviet", "нрзб. км/час", "km/h"),
    ("油圧 □瓩/平方糎(汚損)", "japanese", "□瓩/平方糎", "kgf/cm2"),
    ("速度一?〇節", "japanese", "一?〇節", "[kn_i]"),
    ("lt. 2?5 nel serbatoio", "italian", "2?5", "L"),
    ("pression ?,5 kg/cm²", "french", "?,5 kg/cm²", "kgf/cm2"),
    ("Boost +? lb.", "british", "+? lb.", "[psi]"),
    ("in the 8? gal tank", "british", "8? gal", "[gal_br]"),
]


@pytest.mark.parametrize(("text", "tradition", "written", "unit"), BLOTTED)
def test_blotted_figure_is_kept_without_value(
    text: str, tradition: str, written: str, unit: str
) -> None:
    """A figure with a lost digit is a figure with its place and unit and no number."""
    figures = reconcile.read_text(text, tradition=tradition).figures
    found = [f for f in figures if f.as_written.rstrip(".") == written.rstrip(".")]
    assert found, [f.as_written for f in figures]
    assert found[0].status == "unread"
    assert found[0].unit == unit
    assert (found[0].nominal, found[0].lo, found[0].hi) == (None, None, None)


@pytest.mark.parametrize(
    ("text", "tradition"),
    [
        ("Wird der Druck erreicht? 5 atü.", "german"),
        ("Drehzahl 2400 U/min? Nein.", "german"),
        ("oil 80 lb/□″", "british"),
    ],
)
def test_question_is_no_blot(text: str, tradition: str) -> None:
    """A question mark after a word or a unit, and a square sign, spoil no figure."""
    figures = reconcile.read_text(text, tradition=tradition).figures
    assert figures
    assert all(f.status != "unread" for f in figures)
