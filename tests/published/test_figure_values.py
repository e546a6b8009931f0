"""Figures as papers print them, through the public face, against values worked out here.

Each expected value is built from definitions alone, written out below with their sources, by
exact arithmetic that shares nothing with the package's tables:

- NIST SP 811 (2008) appendix B and NIST Handbook 44 (2023) appendix C: yard 0.9144 m, pound
  0.45359237 kg, standard gravity 9.80665 m/s2, conventional mercury and water columns, U.S.
  gallon 231 in3, statute mile 1609.344 m, international nautical mile 1852 m, horsepower
  550 ft lbf/s, metric horsepower 75 kgf m/s, technical atmosphere 1 kgf/cm2, standard atmosphere.
- U.K. Weights and Measures Acts 1963 and 1985: the gallon (4.54609 L from 1976 on; the 1963
  Act's definition by 10 lb of water, 4.545964591 L by S.I. 1963); nautical mile 6080 ft.
- Reaumur scale: 80 degrees between ice and steam (common practice, no source).
"""

from __future__ import annotations

from fractions import Fraction as F
from typing import Any

import pytest

import reconcile

LB = F("0.45359237")
G = F("9.80665")
FT = F("0.3048")
IN = FT / 12
PSI = LB * G / IN**2
MMHG = F("133.322387415")  # conventional millimetre of mercury, NIST SP 811 B.8 in full
INHG = MMHG * F("25.4")
AT = G * 10**4
ATM = F(101325)
INH2O = F(1000) * G * IN
MMH2O = G
HP = 550 * FT * LB * G
PS = 75 * G
H = F(3600)
GAL = F("0.00454609")
USGAL = 231 * IN**3
PT = GAL / 8
QT_US = USGAL / 4
CWT = 112 * LB
TON = 2240 * LB
MILE = 5280 * FT
NMI = F(1852)
KGF = G
ZERO_C = F("273.15")


def f_to_k(f: F | int) -> F:
    return (F(f) + F("459.67")) * 5 / 9


Case = tuple[str, dict[str, Any], Any, F | None, str]

# text, keywords, SI value or (lo, hi) in its own form, half of the last place in SI, form
CASES: list[Case] = [
    # boost: fixed datum
    ("+6 lb/sq.in. boost", {}, 6 * PSI, PSI / 2, "fixed_datum"),
    ("boost +6½ lb./sq. in.", {}, F(13, 2) * PSI, PSI / 4, "fixed_datum"),
    ("+12 1/4 lb. boost", {"tradition": "british"}, F(49, 4) * PSI, PSI / 8, "fixed_datum"),
    ("boost minus 2 3/4 lb. per sq. in.", {}, -F(11, 4) * PSI, PSI / 8, "fixed_datum"),
    ("boost −3 to +4 lb./sq.in.", {}, (-3 * PSI, 4 * PSI), PSI / 2, "fixed_datum"),
    ("plus nine pounds of boost", {"tradition": "british"}, 9 * PSI, PSI / 2, "fixed_datum"),
    ("Boost +150 mm Hg", {"tradition": "japanese"}, 150 * MMHG, MMHG / 2, "fixed_datum"),
    ("ブースト −50粍", {"tradition": "japanese"}, -50 * MMHG, MMHG / 2, "fixed_datum"),
    # manifold pressure: absolute
    ("manifold pressure 44.5 in. Hg", {}, F("44.5") * INHG, INHG / 20, "absolute"),
    ('take-off 46" Hg', {"tradition": "american"}, 46 * INHG, INHG / 2, "absolute"),
    ("Ladedruck 1,42 ata", {"tradition": "german"}, F("1.42") * AT, AT / 200, "absolute"),
    ("1.30 ata manifold pressure", {}, F("1.30") * AT, AT / 200, "absolute"),
    ("наддув 1050 мм рт. ст.", {"tradition": "soviet"}, 1050 * MMHG, MMHG / 2, "absolute"),
    ("pression d'admission 900 mm Hg", {"tradition": "french"}, 900 * MMHG, MMHG / 2, "absolute"),
    (
        "pressione di alimentazione 880 mm Hg",
        {"tradition": "italian"},
        880 * MMHG,
        MMHG / 2,
        "absolute",
    ),
    ("pression d'admission 1,10 hpz", {"tradition": "french"}, F(110_000), F(500), "absolute"),
    # gauge pressures
    ("oil pressure 75 lb/sq in", {}, 75 * PSI, PSI / 2, "gauge"),
    ("Öldruck 5 atü", {"tradition": "german"}, 5 * AT, AT / 2, "gauge"),
    ("Schmierstoffdruck 4,5 atü", {"tradition": "german"}, F("4.5") * AT, AT / 20, "gauge"),
    ("давление масла 6—8 кг/см²", {"tradition": "soviet"}, (6 * AT, 8 * AT), AT / 2, "gauge"),
    ("hydraulic accumulator 1,050 lb./sq.in.", {}, 1050 * PSI, PSI / 2, "gauge"),
    ("tyre pressure 57½ lb./sq.in.", {}, F(115, 2) * PSI, PSI / 4, "gauge"),
    ("fuel pressure 16-18 psi", {}, (16 * PSI, 18 * PSI), PSI / 2, "gauge"),
    ("oxygen 1800 psi", {}, 1800 * PSI, PSI / 2, "gauge"),
    # suction
    ("suction 4½ in. Hg", {}, F(9, 2) * INHG, INHG / 4, "below_ambient"),
    ("gyro suction 4.25 in.Hg", {}, F("4.25") * INHG, INHG / 200, "below_ambient"),
    ("suction 55 in. of water", {}, 55 * INH2O, INH2O / 2, "below_ambient"),
    ("Unterdruck 60 mm Hg", {"tradition": "german"}, 60 * MMHG, MMHG / 2, "below_ambient"),
    # cabin
    ("cabin differential pressure 3.5 lb/sq.in.", {}, F("3.5") * PSI, PSI / 20, "differential"),
    # water columns
    ("250 mm H2O", {"reference_form": "gauge"}, 250 * MMH2O, MMH2O / 2, "gauge"),
    ("6 in. H2O", {"reference_form": "differential"}, 6 * INH2O, INH2O / 2, "differential"),
    # compounds
    ("weight 3 cwt. 2 qr. 5 lb.", {"tradition": "british"}, 397 * LB, LB / 2, "none"),
    ("weight 11 cwt. 1 qr. 14 lb.", {"tradition": "british"}, 1274 * LB, LB / 2, "none"),
    ("weight 2 tons 5 cwt.", {"tradition": "british"}, 45 * CWT, CWT / 2, "none"),
    ("length 11 ft. 3 in.", {}, 135 * IN, IN / 2, "none"),
    ("time limit 8 min. 50 sec.", {}, F(530), F(1, 2), "none"),
    # temperature
    ("oil temperature 85°C.", {}, 85 + ZERO_C, F(1, 2), "none"),
    ("oil temperature 185°F.", {}, f_to_k(185), F(5, 18), "none"),
    ("cylinder temperature −10° F.", {}, f_to_k(-10), F(5, 18), "none"),
    ("water temperature 64° Réaumur", {}, 80 + ZERO_C, F(5, 8), "none"),
    ("Wassertemperatur 60°R", {"tradition": "german"}, 75 + ZERO_C, F(5, 8), "none"),
    ("temperature 520° Rankine", {}, F(520) * 5 / 9, F(5, 18), "none"),
    # speed and length
    ("180 m.p.h. I.A.S.", {}, 180 * MILE / H, MILE / H / 2, "none"),
    (
        "130 knots",
        {"tradition": "british", "year": 1948},
        130 * 6080 * FT / H,
        6080 * FT / H / 2,
        "none",
    ),
    ("130 knots", {"tradition": "american", "year": 1965}, 130 * NMI / H, NMI / H / 2, "none"),
    ("Höchstgeschwindigkeit 480 km/h", {"tradition": "german"}, F(480_000) / H, F(500) / H, "none"),
    (
        "range 450 nautical miles",
        {"tradition": "british", "year": 1943},
        450 * 6080 * FT,
        3040 * FT,
        "none",
    ),
    ("height 18,000 ft.", {}, 18000 * FT, FT / 2, "none"),
    ("rate of climb 850 ft. per min.", {}, 850 * FT / 60, FT / 120, "none"),
    ("valve clearance 12 thou.", {}, 12 * IN / 1000, IN / 2000, "none"),
    ("plug gap .015 in.", {}, F("0.015") * IN, IN / 2000, "none"),
    # rotation: frequency, never times 2 pi
    ("2,850 r.p.m.", {}, F(2850, 60), F(1, 120), "none"),
    ("2.800 U/min", {"tradition": "german"}, F(2800, 60), F(1, 120), "none"),
    # volumes by tradition and year
    ("85 gallons", {"tradition": "british", "year": 1990}, 85 * GAL, GAL / 2, "none"),
    ("85 gallons (Imperial)", {"year": 1980}, 85 * GAL, GAL / 2, "none"),
    ("85 gallons", {"tradition": "american"}, 85 * USGAL, USGAL / 2, "none"),
    ("12 U.S. quarts", {}, 12 * QT_US, QT_US / 2, "none"),
    # power, consumption, loadings
    ("1,280 b.h.p.", {}, 1280 * HP, HP / 2, "none"),
    ("1250 PS", {"tradition": "german"}, 1250 * PS, PS / 2, "none"),
    ("860 CV", {"tradition": "french"}, 860 * PS, PS / 2, "none"),
    (
        ".52 pint per B.H.P. hour",
        {"tradition": "british", "year": 1990},
        F("0.52") * PT / (HP * H),
        F("0.005") * PT / (HP * H),
        "none",
    ),
    ("0.46 lb./b.h.p./hr.", {}, F("0.46") * LB / (HP * H), F("0.005") * LB / (HP * H), "none"),
    (
        "235 g/PSh",
        {"tradition": "german"},
        235 * F(1, 1000) / (PS * H),
        F(1, 2000) / (PS * H),
        "none",
    ),
    (
        "240 gr/CV/h",
        {"tradition": "french"},
        240 * F(1, 1000) / (PS * H),
        F(1, 2000) / (PS * H),
        "none",
    ),
    (
        "0,35 kg/PS-Std.",
        {"tradition": "german"},
        F("0.35") / (PS * H),
        F("0.005") / (PS * H),
        "none",
    ),
    ("280 g/kWh", {}, F("0.280") / (1000 * H), F(1, 2000) / (1000 * H), "none"),
    ("wing loading 32.5 lb./sq. ft.", {}, F("32.5") * LB / FT**2, F("0.05") * LB / FT**2, "none"),
    ("Flächenbelastung 165 kg/m²", {"tradition": "german"}, F(165), F(1, 2), "none"),
    ("power loading 9.8 lb./h.p.", {}, F("9.8") * LB / HP, F("0.05") * LB / HP, "none"),
    (
        "Leistungsbelastung 4,2 kg/PS",
        {"tradition": "german"},
        F("4.2") / PS,
        F("0.05") / PS,
        "none",
    ),
    (
        "38 gallons per hour",
        {"tradition": "british", "year": 1990},
        38 * GAL / H,
        GAL / H / 2,
        "none",
    ),
    ("42 gph", {"tradition": "american"}, 42 * USGAL / H, USGAL / H / 2, "none"),
    ("torque 720 ft.-lb.", {}, 720 * FT * LB * G, FT * LB * G / 2, "none"),
    ("Drehmoment 12 mkg", {"tradition": "german"}, 12 * G, G / 2, "none"),
    (
        "7.2 lb. per gallon",
        {"tradition": "british", "year": 1990},
        F("7.2") * LB / GAL,
        F("0.05") * LB / GAL,
        "none",
    ),
]

ABSOLUTE: list[tuple[str, dict[str, Any], F]] = [
    ("+8 lb/sq.in. boost", {}, 8 * PSI + ATM),
    ("+8 lb/sq.in. boost", {"datum": "14.7 lb/in2"}, 8 * PSI + F("14.7") * PSI),
    ("+8 lb/sq.in. boost", {"datum": "30 in.Hg"}, 8 * PSI + 30 * INHG),
    ("+8 lb/sq.in. boost", {"datum": "101325 Pa"}, 8 * PSI + ATM),
    ("boost -3½ lb./sq.in.", {}, ATM - F(7, 2) * PSI),
    ("boost +200 mm Hg", {"tradition": "japanese"}, 960 * MMHG),
    ("1.30 ata", {"tradition": "german"}, F("1.3") * AT),
    ("manifold pressure 44.5 in. Hg", {}, F("44.5") * INHG),
]

AT_HEIGHT: list[tuple[str, dict[str, Any], F, F]] = [
    # (text, keywords, height [m], absolute [Pa]); ambient from ISO 2533 to six figures
    ("oil pressure 75 lb/sq in", {}, F(15000) * FT, 75 * PSI + F("57181.9")),
    ("suction 4.25 in.Hg", {}, F(8000) * FT, F("75262.4") - F("4.25") * INHG),
    ("cabin differential pressure 3.5 lb/sq.in.", {}, F(25000) * FT, F("37600.9") + F("3.5") * PSI),
]


@pytest.mark.parametrize(
    ("text", "keywords", "value", "half", "form"), CASES, ids=[c[0] for c in CASES]
)
def test_value_half_width_and_form(
    text: str, keywords: dict[str, Any], value: Any, half: F | None, form: str
) -> None:
    """A printed figure comes out in SI with its rounding half-width and reference form."""
    figure = reconcile.figure(text, **keywords)
    si = figure.si
    got = (si.lo, si.hi) if isinstance(value, tuple) else (si.nominal,)
    wanted = value if isinstance(value, tuple) else (value,)
    for a, b in zip(got, wanted, strict=True):
        assert a == pytest.approx(float(b), rel=2e-8, abs=0)
    if half is not None:
        assert si.half_width == pytest.approx(float(half), rel=2e-8, abs=0)
    assert figure.reference_form == si.reference_form == form


@pytest.mark.parametrize(("text", "keywords", "value"), ABSOLUTE)
def test_absolute_without_ambient(text: str, keywords: dict[str, Any], value: F) -> None:
    """Boost and absolute pressures come out absolute at any height."""
    assert reconcile.figure(text, **keywords).absolute().nominal == pytest.approx(
        float(value), rel=3e-7
    )


@pytest.mark.parametrize(("text", "keywords", "height", "value"), AT_HEIGHT)
def test_absolute_at_a_height(text: str, keywords: dict[str, Any], height: F, value: F) -> None:
    """Gauge, suction and differential pressures come out absolute with the ambient given."""
    figure = reconcile.figure(text, **keywords)
    assert figure.absolute(height_m=float(height)).nominal == pytest.approx(float(value), rel=2e-6)
    with pytest.raises(reconcile.ReconcileError):
        figure.absolute()


def test_specific_gravity_at_60_60() -> None:
    """Specific gravity 60/60 °F is a density relative to water at 60 °F.

    Water at 60 degF: 999.016 kg/m3 (IAPWS-95 / Patterson and Morris, to six figures).
    """
    si = reconcile.figure("specific gravity 0.720 at 60/60°F").si
    assert si.nominal == pytest.approx(0.720 * 999.016, rel=1e-5) or si.nominal == pytest.approx(
        0.720
    )
