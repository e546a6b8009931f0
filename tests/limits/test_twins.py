"""Figures that brackets repeat in a second unit, and lists with one unit for several figures.

All texts are made up; what they mean is common practice, no source.
"""

from __future__ import annotations

import pytest

from reconcile.reading import read_text

_KG = "kgf/cm2"
_BRACKETED = {
    ("Oil pressure: normal 80, min. 65 lb./sq. in. (5.6 and 4.6 kg/cm2)", "british"): [
        ("80", "[psi]", "nominal"), ("65", "[psi]", "min"),
        ("28/5", _KG, "nominal"), ("23/5", _KG, "min"),
    ],
    ("Oil pressure 80 normal, 60 minimum psi (5.6 / 4.2 kg/cm2)", "american"): [
        ("80", "[psi]", "nominal"), ("60", "[psi]", "min"),
        ("28/5", _KG, "nominal"), ("21/5", _KG, "min"),
    ],
    ("Oil pressure: max. 90, normal 80, min. 65 lb./sq. in. (6.3, 5.6 and 4.6 kg/cm2)",
     "british"): [
        ("90", "[psi]", "max"), ("80", "[psi]", "nominal"), ("65", "[psi]", "min"),
        ("63/10", _KG, "max"), ("28/5", _KG, "nominal"), ("23/5", _KG, "min"),
    ],
    ("Pression d'huile: normale 5,6, minimum 4,6 kg/cm2 (80 et 65 lb/sq in)", "french"): [
        ("28/5", _KG, "nominal"), ("23/5", _KG, "min"),
        ("80", "[psi]", "nominal"), ("65", "[psi]", "min"),
    ],
    ("Velocità: salita 240 km/h, planata 210 km/h (130 e 113 nodi)", "italian"): [
        ("240", "km/h", "nominal"), ("210", "km/h", "nominal"),
        ("130", "[kn_i]", "nominal"), ("113", "[kn_i]", "nominal"),
    ],
    ("Oil temperature: min. 15, max. 90°C. (59 and 194°F.)", "british"): [
        ("15", "Cel", "min"), ("90", "Cel", "max"),
        ("59", "[degF]", "min"), ("194", "[degF]", "max"),
    ],
    ("Fuel: main 100, reserve 20 gallons (455 and 91 litres).", "british"): [
        ("100", "[gal_br]", "nominal"), ("20", "[gal_br]", "nominal"),
        ("455", "L", "nominal"), ("91", "L", "nominal"),
    ],
}  # fmt: skip


def _read(text: str, tradition: str) -> list[tuple[str, str, str]]:
    reading = read_text(text, tradition)
    bounds = {limit.figure_ids[0]: limit.bound for limit in reading.limits}
    return [(str(f.nominal), f.unit, bounds[f.id]) for f in reading.figures]


@pytest.mark.parametrize(("text", "tradition"), _BRACKETED)
def test_each_figure_in_brackets_repeats_its_own(text: str, tradition: str) -> None:
    """As many figures in brackets as before them are twins, one by one, in the second unit."""
    assert _read(text, tradition) == _BRACKETED[text, tradition]


def test_conditions_go_with_the_twins() -> None:
    """A figure in brackets holds when the one it repeats does."""
    reading = read_text("Speed: climb 150, glide 130 m.p.h. (241 and 209 km/h)", "american")
    assert [limit.condition for limit in reading.limits] == ["climb", "glide"] * 2


def test_a_twin_that_does_not_agree_is_doubted() -> None:
    """A bare figure in brackets that is not what it should repeat is kept and marked."""
    text = "Oil pressure: normal 80, min. 65 lb./sq. in. (6.5 and 4.6 kg/cm2)"
    wrong = next(f for f in read_text(text, "british").figures if f.as_written == "6.5")
    assert (wrong.unit, wrong.status) == (_KG, "ambiguous")
