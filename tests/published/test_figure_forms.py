"""Lone figures of every kind a period paper prints, with the caller's keywords.

Expected values are worked out here by exact arithmetic from definitions alone:

- NIST SP 811 (2008) appendix B and NIST Handbook 44 (2023) appendix C: yard, pound, standard
  gravity, conventional columns of mercury and water, U.S. gallon, horsepowers, atmospheres.
- U.K. Weights and Measures Act 1985 (gallon 4.54609 L, hundredweight 112 lb, quarter 28 lb, stone
  14 lb); S.I. 1963 (10 lb of water: 4.545964591 L of 1901); Order in Council 1898 (4.5459631 L
  of 1901); Act of 1824 (277.274 cubic inches). Litre of 1901: 1.000028 dm3 (CGPM 1950).
- Nautical mile: 6080 ft (Admiralty), 1853.248 m (U.S. until 1954), 1852 m (Monaco 1929).
- Mendenhall order 1893: yard 3600/3937 m. U.K. yard of 1922 (Sears, Johnson and Jolly, 1928)
  0.91439841 m, U.K. pound of 1933 0.453592338 kg (announcement of the agreement of 1959).
- API MPMS 11.1: specific gravity 60/60 degF times 999.016 kg/m3; degrees API 141.5/(131.5 + A);
  degrees Baume of light liquids 140/(130 + B).
- Which zero a pressure counts from: common practice of each tradition, no source.
"""

from __future__ import annotations

from fractions import Fraction as F
from typing import Any

import pytest

import reconcile
import reconcile.errors

LB = F("0.45359237")
OZ = LB / 16
G = F("9.80665")
FT = F("0.3048")
IN = FT / 12
PSI = LB * G / IN**2
INHG = F("13595.1") * G * IN
MMHG = F("13595.1") * G / 1000
AT = G * 10**4
ATM = F(101325)
MMH2O = G
INH2O = 1000 * G * IN
HP = 550 * FT * LB * G
PS = 75 * G
KW = F(1000)
H = F(3600)
MIN = F(60)
MILE = 5280 * FT
NMI = F(1852)
GAL = F("0.00454609")
PT = GAL / 8
QT = GAL / 4
USGAL = 231 * IN**3
USQT = USGAL / 4
USPT = USGAL / 8
L = F(1, 1000)
CC = F(1, 10**6)
GR = F(1, 1000)
CWT = 112 * LB
TON = 2240 * LB
L1901 = F("0.001000028")
GAL_1963 = F("4.545964591") * L1901
GAL_1898 = F("4.5459631") * L1901
US_INCH_1893 = F(100, 3937)
FT_1922 = F("0.91439841") / 3
HP_1943 = 550 * FT_1922 * F("0.453592338") * G
WATER60F = F("999.016")
WATER4C = F("999.972")
ZERO_C = F("273.15")
B: dict[str, Any] = {"tradition": "british"}
A: dict[str, Any] = {"tradition": "american"}
D: dict[str, Any] = {"tradition": "german"}
S: dict[str, Any] = {"tradition": "soviet"}
FR: dict[str, Any] = {"tradition": "french"}
I: dict[str, Any] = {"tradition": "italian"}  # noqa: E741
J: dict[str, Any] = {"tradition": "japanese"}

Value = F | tuple[F, F]
Case = tuple[str, dict[str, Any], Value, F, str]


def kelvin(f: int | F) -> F:
    """Fahrenheit to kelvin."""
    return (f + F("459.67")) * 5 / 9


def one(
    text: str,
    keywords: dict[str, Any],
    number: str | int | F,
    unit: F,
    step: str | F | int = 1,
    form: str = "none",
) -> Case:
    """A case whose value and printed step are given in the written unit."""
    return text, keywords, F(number) * unit, F(step) * unit / 2, form


def two(
    text: str,
    keywords: dict[str, Any],
    lo: str | int | F,
    hi: str | int | F,
    unit: F,
    step: str | F | int = 1,
    form: str = "none",
) -> Case:
    """The same for a range."""
    return text, keywords, (F(lo) * unit, F(hi) * unit), F(step) * unit / 2, form


FD, AB, GA, BE, DI, UN = (
    "fixed_datum",
    "absolute",
    "gauge",
    "below_ambient",
    "differential",
    "unknown",
)
Q = F(1, 4)

BOOST = [
    one("boost +6¼ lb./sq.in.", {}, F(25, 4), PSI, Q, FD),
    one("+6¼ lb. boost", B, F(25, 4), PSI, Q, FD),
    one("+6 1/4 lb/sq.in. boost", {}, F(25, 4), PSI, Q, FD),
    one("boost +6-1/4 lb./sq.in.", B, F(25, 4), PSI, Q, FD),
    one("boost minus 2 3/4 lb./sq.in.", {}, F(-11, 4), PSI, Q, FD),
    one("minus 2 3/4 lb. boost", B, F(-11, 4), PSI, Q, FD),
    one("plus 5 1/2 lbs boost", {}, F(11, 2), PSI, F(1, 2), FD),
    one("plus 5½ lb. per sq. in. boost", B, F(11, 2), PSI, F(1, 2), FD),
    one("boost 0 lb./sq.in.", {}, 0, PSI, 1, FD),
    one("zero boost", B, 0, PSI, 1, FD),
    one("boost +4.5 lb/sq in", B, "4.5", PSI, "0.1", FD),
    one("+12 lb/sq.in. boost for take-off", B, 12, PSI, 1, FD),
    one("boost +1⅛ lb./sq.in.", B, F(9, 8), PSI, F(1, 8), FD),
    two("boost -2½ to +8 lb./sq.in.", B, F(-5, 2), 8, PSI, F(1, 2), FD),
    two("boost +4 to +6¾ lb./sq.in.", {}, 4, F(27, 4), PSI, Q, FD),
    one("+4¼", {**B, "parameter": "boost"}, F(17, 4), PSI, Q, FD),
    one("-3", {**B, "parameter": "boost", "unit": "[psi]"}, -3, PSI, 1, FD),
    one("9 lb/sq.in.", {"parameter": "boost"}, 9, PSI, 1, FD),
    one("9 lb/sq.in.", {"reference_form": "fixed_datum"}, 9, PSI, 1, FD),
    one("9 lb/sq.in.", {"datum": "14.7 lb/in2"}, 9, PSI, 1, FD),
    one("Boost +150 mm Hg", J, 150, MMHG, 1, FD),
    one("+150 mm Hg", J, 150, MMHG, 1, FD),
    one("-100 mmHg", J, -100, MMHG, 1, FD),
    one("ブースト +200粍", J, 200, MMHG, 1, FD),
    one("boost 250 mm Hg", J, 250, MMHG, 1, FD),
    two("boost -50 to +150 mm Hg", J, -50, 150, MMHG, 1, FD),
]

ABSOLUTE = [
    one("manifold pressure 46 in. Hg", {}, 46, INHG, 1, AB),
    one("46.5 in. Hg", A, "46.5", INHG, "0.1", AB),
    one("48.0 inHg manifold pressure", A, 48, INHG, "0.1", AB),
    one("M.A.P. 37½ in. Hg", A, F(75, 2), INHG, F(1, 2), AB),
    two("manifold pressure 28-30 in.Hg", A, 28, 30, INHG, 1, AB),
    one("44.5", {"parameter": "manifold pressure", "unit": "[in_i'Hg]"}, "44.5", INHG, "0.1", AB),
    one("1,42 ata", D, "1.42", AT, "0.01", AB),
    one("1.42 ata", {}, "1.42", AT, "0.01", AB),
    one("Ladedruck 1,3 ata", D, "1.3", AT, "0.1", AB),
    one("Ladedruck 1,15 at", D, "1.15", AT, "0.01", AB),
    two("Ladedruck 1,15—1,30 ata", D, "1.15", "1.30", AT, "0.01", AB),
    one("1,35", {**D, "parameter": "manifold pressure", "unit": "att"}, "1.35", AT, "0.01", AB),
    one("900 мм рт. ст.", S, 900, MMHG, 1, AB),
    one("наддув 1020 мм рт. ст.", S, 1020, MMHG, 1, AB),
    one("900 mm Hg", S, 900, MMHG, 1, AB),
    one("900 mm Hg", FR, 900, MMHG, 1, AB),
    one("pression d'admission 78 cm Hg", FR, 78, 10 * MMHG, 1, AB),
    one("880 mm Hg", I, 880, MMHG, 1, AB),
    one("pressione di alimentazione 1,2 ata", I, "1.2", AT, "0.1", AB),
    one("1,10 hpz", FR, "1.10", F(100000), "0.01", AB),
    one("80 pièzes", FR, 80, F(1000), 1, AB),
    one("80 pz", FR, 80, F(1000), 1, AB),
    one("наддув 9,0 дм рт. ст.", S, 9, 100 * MMHG, "0.1", AB),
    one("9.5 dm Hg", S, "9.5", 100 * MMHG, "0.1", AB),
    one("manifold pressure 1.3 kg/cm2", {}, "1.3", AT, "0.1", AB),
    one("30 lb/sq.in. absolute", {}, 30, PSI, 1, AB),
    one("14.7 psia", {}, "14.7", PSI, "0.1", AB),
    one("barometer 29.92 in. Hg", {}, "29.92", INHG, "0.01", AB),
    one("barometric pressure 1013 mb", {}, 1013, F(100), 1, AB),
    one("900 mm Hg", {"reference_form": "absolute"}, 900, MMHG, 1, AB),
    one("5 kg/cm² abs.", D, 5, AT, 1, AB),
]

GAUGE = [
    one("Öldruck 5 atü", D, 5, AT, 1, GA),
    one("5 atü", D, 5, AT, 1, GA),
    one("4,5 atü", {}, "4.5", AT, "0.1", GA),
    one("Kraftstoffdruck 1,5 atü", D, "1.5", AT, "0.1", GA),
    one("Öldruck 5 at", D, 5, AT, 1, GA),
    one("Öldruck 5 kg/cm²", D, 5, AT, 1, GA),
    two("Öldruck 4,5—6 atü", D, "4.5", 6, AT, "0.1", GA),
    one("давление масла 5 ат", S, 5, AT, 1, GA),
    one("давление масла 6 кг/см2", S, 6, AT, 1, GA),
    one("давление бензина 0,25 кг/см²", S, "0.25", AT, "0.01", GA),
    one("pression d'huile 5 kg/cm²", FR, 5, AT, 1, GA),
    one("pression d'huile 5 hpz", FR, 5, F(100000), 1, GA),
    one("pression d'huile 500 pièzes", FR, 500, F(1000), 1, GA),
    one("pressione olio 6 kg/cmq", I, 6, AT, 1, GA),
    one("油圧 5 瓩/平方糎", J, 5, AT, 1, GA),
    one("oil pressure 80 lb.", B, 80, PSI, 1, GA),
    one("oil pressure 72½ lb./sq.in.", B, F(145, 2), PSI, F(1, 2), GA),
    one("fuel pressure 2½ lb./sq.in.", B, F(5, 2), PSI, F(1, 2), GA),
    one("fuel pressure 8 oz./sq.in.", B, 8, PSI / 16, 1, GA),
    one("75 psig", {}, 75, PSI, 1, GA),
    one("30 lb. per sq. in. gauge", {}, 30, PSI, 1, GA),
    one("75", {"parameter": "oil pressure", "unit": "[psi]"}, 75, PSI, 1, GA),
    one("75", {"unit": "[psi]", "reference_form": "gauge"}, 75, PSI, 1, GA),
    one("75 lb/sq in", {"parameter": "oil pressure"}, 75, PSI, 1, GA),
    one("75 lb/in2", {"parameter": "Oil pressure"}, 75, PSI, 1, GA),
    one("5", {"parameter": "oil pressure", "unit": "kgf/cm2"}, 5, AT, 1, GA),
    one("hydraulic pressure 2.5 tons/sq.in.", B, "2.5", 2240 * PSI, "0.1", GA),
    one("hydraulic pressure 1,000 lb./sq.in.", B, 1000, PSI, 1, GA),
    one("tyre pressure 3 atm", {"unit": "att"}, 3, AT, 1, GA),
    two("brake pressure 80-90 lb/sq.in.", B, 80, 90, PSI, 1, GA),
    one("oxygen pressure 120 atm", {"reference_form": "gauge"}, 120, ATM, 1, GA),
]

BELOW = [
    one("0,4 atu", D, "0.4", AT, "0.1", BE),
    one("0,4 atu", {}, "0.4", AT, "0.1", BE),
    one("Unterdruck 0,4 at", D, "0.4", AT, "0.1", BE),
    one("Unterdruck 100 mm Hg", D, 100, MMHG, 1, BE),
    one("Unterdruck 250 mm WS", D, 250, MMH2O, 1, BE),
    one("suction 4½ in. Hg", B, F(9, 2), INHG, F(1, 2), BE),
    one("suction 4 1/4 in.Hg", {}, F(17, 4), INHG, Q, BE),
    two("suction 3¾–4¼ in. Hg", B, F(15, 4), F(17, 4), INHG, Q, BE),
    two("suction 3.75 to 4.25 in. Hg", A, "3.75", "4.25", INHG, "0.01", BE),
    one("vacuum 4 in. Hg", A, 4, INHG, 1, BE),
    one("3 1/4 inches of mercury suction", {}, F(13, 4), INHG, Q, BE),
    one("depression 25 in. water", B, 25, INH2O, 1, BE),
    one("suction 200 mm water", {}, 200, MMH2O, 1, BE),
    one("dépression 60 mm Hg", FR, 60, MMHG, 1, BE),
    one("depressione 100 mm Hg", I, 100, MMHG, 1, BE),
    one("разрежение 100 мм рт. ст.", S, 100, MMHG, 1, BE),
    one("4.25", {"parameter": "suction", "unit": "[in_i'Hg]"}, "4.25", INHG, "0.01", BE),
    one("4.25 in. Hg", {"parameter": "suction"}, "4.25", INHG, "0.01", BE),
    one("4.25 in. Hg", {"reference_form": "below_ambient"}, "4.25", INHG, "0.01", BE),
    one("suction 55 mm Hg", J, 55, MMHG, 1, BE),
]

UNKNOWN_FORM = [
    one("5 kg/cm²", {}, 5, AT, 1, UN),
    one("5 kg/cm2", D, 5, AT, 1, UN),
    one("1,2 at", D, "1.2", AT, "0.1", UN),
    one("900 mm Hg", {}, 900, MMHG, 1, UN),
    one("900 mm Hg", D, 900, MMHG, 1, UN),
    one("4 in. Hg", B, 4, INHG, 1, UN),
    one("44.5 in. Hg", {}, "44.5", INHG, "0.1", UN),
    one("80 lb/sq.in.", B, 80, PSI, 1, UN),
    one("14 lb/in2", {}, 14, PSI, 1, UN),
    one("200 mm H2O", {}, 200, MMH2O, 1, UN),
    one("200 mm water gauge", {}, 200, MMH2O, 1, UN),
    one("200 mm W.G.", {}, 200, MMH2O, 1, UN),
    one("6 in. w.g.", {}, 6, INH2O, 1, UN),
    one("6½ inches of water", {}, F(13, 2), INH2O, F(1, 2), UN),
    one("2 m WS", D, 2, 1000 * MMH2O, 1, UN),
    one("10 m of water", {}, 10, 1000 * MMH2O, 1, UN),
    one("60 cm of water", {}, 60, 10 * MMH2O, 1, UN),
    one("2 ft. of water", {}, 2, 12 * INH2O, 1, UN),
    one("140 kg/mm²", {}, 140, G * 10**6, 1, UN),
    one("35 tons/sq.in.", B, 35, 2240 * PSI, 1, UN),
    one("35 tons/sq.in.", A, 35, 2000 * PSI, 1, UN),
    one("760 torr", {}, 760, ATM / 760, 1, UN),
    one("100 dynes/cm2", {}, 100, F(1, 10), 1, UN),
    one("250 kPa", {}, 250, F(1000), 1, UN),
    one("75", {"unit": "[psi]"}, 75, PSI, 1, UN),
]

OTHER_FORMS = [
    one("cabin differential pressure 6.5 lb./sq.in.", B, "6.5", PSI, "0.1", DI),
    one("Kabinenüberdruck 0,36 at", D, "0.36", AT, "0.01", DI),
    one("6 in. H2O", {"reference_form": "differential"}, 6, INH2O, 1, DI),
    one("b.m.e.p. 180 lb/sq.in.", B, 180, PSI, 1, "none"),
    one("200 lb./sq.in.", {"parameter": "brake mean effective pressure"}, 200, PSI, 1, "none"),
]

COMPOUND = [
    one("3 cwt. 2 qr. 5 lb.", {}, 397, LB),
    one("3 cwt. 2 qrs. 5½ lb.", B, F(795, 2), LB, F(1, 2)),
    one("3 cwt., 2 qr., 5 lb.", B, 397, LB),
    one("1 cwt. 7 lb.", B, 119, LB),
    one("3 qr. 5 lb.", B, 89, LB),
    one("2 tons 5 cwt.", B, 45, CWT),
    one("2 tons 5 cwt.", {}, 45, CWT),
    one("2 tons 5 cwt. 3 qr. 4 lb.", B, 2 * 2240 + 5 * 112 + 3 * 28 + 4, LB),
    one("1 ton 3 cwt. 2 qr.", B, 4 * 23 + 2, 28 * LB),
    one("2 tons 100 lb.", A, 4100, LB),
    one("11 st. 4 lb.", B, 158, LB),
    one("12 stone 7 lb.", B, 175, LB),
    one("4 lb. 6 oz.", B, 70, OZ),
    one("4 lb. 6½ oz.", B, F(141, 2), OZ, F(1, 2)),
    one("11 ft. 3 in.", {}, 135, IN),
    one("11 ft. 3½ in.", B, F(271, 2), IN, F(1, 2)),
    one("11' 3\"", A, 135, IN),
    one("36 ft. 10 1/4 in.", B, F(1769, 4), IN, Q),
    one("2 yd. 1 ft. 6 in.", B, 90, IN),
    one("8 min. 50 sec.", {}, 530, F(1)),
    one("8 min 50 s", D, 530, F(1)),
    one("1 hr. 20 min.", B, 80, MIN),
    one("3 hr. 5 min. 20 sec.", B, 11120, F(1)),
    one("1 h 20 min", FR, 80, MIN),
    one("5 h 30", FR, 330, MIN),
    one("3 gal. 2 pt.", B, 26, PT),
    one("4 gal 3 qt", A, 19, USQT),
    one("2 quarts 1 pint", A, 5, USPT),
]

MASS = [
    one("5 cwt.", B, 5, CWT),
    one("5 cwt.", A, 5, 100 * LB),
    one("2½ tons", B, F(5, 2), TON, F(1, 2)),
    one("2.5 tons", A, "2.5", 2000 * LB, "0.1"),
    one("2 short tons", {}, 2, 2000 * LB),
    one("2 long tons", A, 2, TON),
    one("3,5 t", D, "3.5", F(1000), "0.1"),
    one("weight 12,500 lb.", B, 12500, LB),
    one("300 grains", {}, 300, LB / 7000),
    one("14 oz.", B, 14, OZ),
]

TEMPERATURE: list[Case] = [
    ("64° Réaumur", {}, 64 * F(5, 4) + ZERO_C, F(5, 8), "none"),
    ("60° R", D, F(75) + ZERO_C, F(5, 8), "none"),
    ("12,5° R", D, F("12.5") * F(5, 4) + ZERO_C, F(1, 16), "none"),
    ("60 °Ré", FR, F(75) + ZERO_C, F(5, 8), "none"),
    ("520° Rankine", {}, F(520) * 5 / 9, F(5, 18), "none"),
    ("560 °R", A, F(560) * 5 / 9, F(5, 18), "none"),
    ("185°F.", A, kelvin(185), F(5, 18), "none"),
    ("−20° F", A, kelvin(-20), F(5, 18), "none"),
    ("185.5 °F", A, kelvin(F("185.5")), F(1, 36), "none"),
    ("85°C.", {}, 85 + ZERO_C, F(1, 2), "none"),
    ("-10 °C", {}, ZERO_C - 10, F(1, 2), "none"),
    ("oil temperature 60 to 90 °C", {}, (60 + ZERO_C, 90 + ZERO_C), F(1, 2), "none"),
    ("300° abs.", {}, F(300), F(1, 2), "none"),
    ("85", {"unit": "Cel"}, 85 + ZERO_C, F(1, 2), "none"),
    ("185", {"unit": "[degF]", "parameter": "oil temperature"}, kelvin(185), F(5, 18), "none"),
    ("60", {"unit": "[degRe]"}, F(75) + ZERO_C, F(5, 8), "none"),
    ("temperature rise 30° F.", {}, F(30) * 5 / 9, F(5, 18), "none"),
    ("temperature drop of 15 °C", {}, F(15), F(1, 2), "none"),
]

KN, KN_UK, KN_US = NMI / H, 6080 * FT / H, F("1853.248") / H
PSI_UK_1943 = F("0.453592338") * G / (FT_1922 / 12) ** 2
PSI_US_1943 = F("0.4535924277") * G / US_INCH_1893**2
PERIOD = [
    one("boost +6 lb/sq.in.", {**B, "year": 1943}, 6, PSI_UK_1943, 1, FD),
    one("oil pressure 80 lb/sq.in.", {**A, "year": 1943}, 80, PSI_US_1943, 1, GA),
    one("180 m.p.h.", {**B, "year": 1943}, 180, 5280 * FT_1922 / H),
    one("1,175 b.h.p.", {**B, "year": 1943}, 1175, HP_1943),
    one("weight 12,500 lb.", {**A, "year": 1943}, 12500, F("0.4535924277")),
    one("130 knots", {}, 130, KN),
    one("130 knots", B, 130, KN),
    one("130 knots", {**B, "year": 1943}, 130, KN_UK),
    one("130 kts.", {**B, "year": 1955}, 130, KN_UK),
    one("130 knots", {**B, "year": 1975}, 130, KN),
    one("130 knots", {**A, "year": 1943}, 130, KN_US),
    one("130 knots", {**A, "year": 1953}, 130, KN_US),
    one("130 knots", {**A, "year": 1954}, 130, KN),
    one("130 Knoten", {**D, "year": 1943}, 130, KN),
    one("110 nœuds", {**FR, "year": 1938}, 110, KN),
    one("130", {**B, "year": 1943, "unit": "[kn_i]"}, 130, KN_UK),
    one("450 nautical miles", {**B, "year": 1950}, 450, 6080 * FT),
    one("450 sea miles", {**A, "year": 1950}, 450, F("1853.248")),
    one("450 nautical miles", {**A, "year": 1960}, 450, NMI),
    one("450 n.m.", {}, 450, NMI),
    one("450 Seemeilen", {**D, "year": 1940}, 450, NMI),
    one("85 gallons", {**B, "year": 1990}, 85, GAL),
    one("85 gallons", B, 85, GAL),
    one("85 gallons", {**B, "year": 1970}, 85, GAL_1963),
    one("85 gallons", {**B, "year": 1943}, 85, GAL_1898),
    one("85 gallons (Imperial)", {"year": 1943}, 85, GAL_1898),
    one("85 Imp. gal.", {**A, "year": 1943}, 85, GAL_1898),
    one("85 gallons", {**A, "year": 1943}, 85, 231 * US_INCH_1893**3),
    one("85 gallons (U.S.)", {"year": 1943}, 85, 231 * US_INCH_1893**3),
    one("85 gallons (U.S.)", {}, 85, USGAL),
    one("85 gallons", {**A, "year": 1990}, 85, USGAL),
    one("12½ gallons", A, F(25, 2), USGAL, F(1, 2)),
    one("6 pints", {**B, "year": 1943}, 6, GAL_1898 / 8),
    one("200 Liter", {**D, "year": 1990}, 200, L),
    one("200 litres", {**FR, "year": 1940}, 200, L1901),
    one("38 gal./hr.", {**B, "year": 1943}, 38, GAL_1898 / H),
    one("38 gallons per hour", {**A, "year": 1990}, 38, USGAL / H),
    one("10 ft.", {**A, "year": 1940}, 10, F(1200, 3937)),
]

CONSUMPTION = [
    one("0.5 lb./h.p./hr.", B, "0.5", LB / (HP * H), "0.1"),
    one("0.46 lb. per b.h.p. hour", B, "0.46", LB / (HP * H), "0.01"),
    one("0.46 lb/bhp-hr", A, "0.46", LB / (HP * H), "0.01"),
    one("8.2 oz. per h.p. hour", B, "8.2", OZ / (HP * H), "0.1"),
    one("210 g/hp/hr", {}, 210, GR / (HP * H)),
    one("0.21 kg per h.p. hour", {}, "0.21", 1 / (HP * H), "0.01"),
    one(".52 pint per b.h.p. hour", B, "0.52", PT / (HP * H), "0.01"),
    one("0.52 pt./b.h.p./hr.", {**B, "year": 1943}, "0.52", GAL_1898 / 8 / (HP_1943 * H), "0.01"),
    one("0.065 gal./b.h.p./hr.", B, "0.065", GAL / (HP * H), "0.001"),
    one("0.08 US gal/hp/hr", {}, "0.08", USGAL / (HP * H), "0.01"),
    one("0.5 US gal/hp/hr", {}, "0.5", USGAL / (HP * H), "0.1"),
    one("0.08 gal/hp/hr", A, "0.08", USGAL / (HP * H), "0.01"),
    one("0.03 quart per hp hour", A, "0.03", USQT / (HP * H), "0.01"),
    one("0.03 qt./b.h.p./hr.", B, "0.03", QT / (HP * H), "0.01"),
    one("0.6 pint per hp hour", A, "0.6", USPT / (HP * H), "0.1"),
    one("310 cc/hp/hr", {}, 310, CC / (HP * H)),
    one("0.3 l/hp/hr", {}, "0.3", L / (HP * H), "0.1"),
    one("210 g/PSh", D, 210, GR / (PS * H)),
    one("210 g/PS/h", D, 210, GR / (PS * H)),
    one("210 g/PS-Std.", D, 210, GR / (PS * H)),
    one("0,23 kg/PSh", D, "0.23", 1 / (PS * H), "0.01"),
    one("0,3 l/PSh", D, "0.3", L / (PS * H), "0.1"),
    one("310 cm³/PSh", D, 310, CC / (PS * H)),
    one("240 gr/CV/h", FR, 240, GR / (PS * H)),
    one("240 g/ch.h", FR, 240, GR / (PS * H)),
    one("0,240 kg par cheval-heure", FR, "0.240", 1 / (PS * H), "0.001"),
    one("230 g/CV ora", I, 230, GR / (PS * H)),
    one("240 г/л.с.ч.", S, 240, GR / (PS * H)),
    one("240 瓦/馬力/時", J, 240, GR / (PS * H)),
    one("0.45 lb/PS/h", {}, "0.45", LB / (PS * H), "0.01"),
    one("300 g/kWh", {}, 300, GR / (KW * H)),
    one("0.3 kg/kWh", {}, "0.3", 1 / (KW * H), "0.1"),
    one("0.5 lb/kWh", {}, "0.5", LB / (KW * H), "0.1"),
    one("0.4 l/kWh", {}, "0.4", L / (KW * H), "0.1"),
    one("1.05 lb. per lb. thrust per hour", B, "1.05", 1 / (G * H), "0.01"),
    one("1.05 lb/hr/lb", B, "1.05", 1 / (G * H), "0.01"),
    one("1,05 kg/kg/h", D, "1.05", 1 / (G * H), "0.01"),
    one("1.05 kg/kgf/h", {}, "1.05", 1 / (G * H), "0.01"),
    one("0.5", {"unit": "[lb_av]/[HP]/h"}, "0.5", LB / (HP * H), "0.1"),
    one("0.5", {"unit": "[lb_av]/([HP].h)", **A}, "0.5", LB / (HP * H), "0.1"),
]

FLOW = [
    one("38 gal/hr", B, 38, GAL / H),
    one("42 g.p.h.", A, 42, USGAL / H),
    one("38 Imp. gal. per hour", {}, 38, GAL / H),
    one("10 pints per hour", B, 10, PT / H),
    one("4 qt/hr", A, 4, USQT / H),
    one("2½ gal./min.", B, F(5, 2), GAL / MIN, F(1, 2)),
    one("250 l/h", FR, 250, L / H),
    one("30 l/min", D, 30, L / MIN),
    one("100 cc/min", {}, 100, CC / MIN),
    one("400 cu. ft. per min.", {}, 400, FT**3 / MIN),
    one("12 c.f.m.", {}, 12, FT**3 / MIN),
    one("500 lb./hr.", {}, 500, LB / H),
    one("15 lb./min.", {}, 15, LB / MIN),
    one("2 lb/sec", {}, 2, LB),
    one("220 kg/h", D, 220, 1 / H),
    one("3 m³/h", D, 3, 1 / H),
    one("1.2 air miles per gallon", B, "1.2", MILE / GAL, "0.1"),
    one("1.2 a.m.p.g.", B, "1.2", MILE / GAL, "0.1"),
    one("1.2 m.p.g.", A, "1.2", MILE / USGAL, "0.1"),
    one("1.2 air miles per U.S. gallon", B, "1.2", MILE / USGAL, "0.1"),
    one("0.9 nautical air miles per gallon", B, "0.9", NMI / GAL, "0.1"),
    one("0.25 n.m. per lb.", {}, "0.25", NMI / LB, "0.01"),
    one("12 l/100 km", D, 12, F(1, 10**8)),
    one("3,2 km/l", D, "3.2", F(10**6), "0.1"),
    one("0,9 кг/км", S, "0.9", F(1, 1000), "0.1"),
]

DENSITY: list[Case] = [
    one("specific gravity 0.720 at 60/60 °F", {}, "0.720", WATER60F, "0.001"),
    one("S.G. 0.725 at 60°F", B, "0.725", WATER60F, "0.001"),
    one("specific gravity .72", {}, "0.72", WATER60F, "0.01"),
    one("sp. gr. 0.745", A, "0.745", WATER60F, "0.001"),
    one("specific gravity of the fuel 0.720", B, "0.720", WATER60F, "0.001"),
    one("fuel specific gravity 0.72 60/60°F", {}, "0.72", WATER60F, "0.01"),
    one("0.720", {"parameter": "specific gravity"}, "0.720", WATER60F, "0.001"),
    one("0.72", {"unit": "{sp_gr_60F}"}, "0.72", WATER60F, "0.01"),
    one("0.72", {"unit": "specific-gravity-60-60f"}, "0.72", WATER60F, "0.01"),
    one("specific gravity 0.89 15/4 °C", {}, "0.89", WATER4C, "0.01"),
    one("spezifisches Gewicht 0,74", D, "0.74", WATER4C, "0.01"),
    two("specific gravity 0.715 to 0.735", B, "0.715", "0.735", WATER60F, "0.001"),
    (
        "36 °API", {}, F("141.5") / (F("131.5") + 36) * WATER60F,
        F("141.5") / (F("131.5") + 36) ** 2 * WATER60F / 2, "none",
    ),
    (
        "60 °Bé", {}, F(140) / 190 * WATER60F, F(140) / 190**2 * WATER60F / 2, "none",
    ),
    one("7.2 lb/gal", B, "7.2", LB / GAL, "0.1"),
    one("7.2 lb. per imperial gallon", {}, "7.2", LB / GAL, "0.1"),
    one("6 lb/gal", A, 6, LB / USGAL),
    one("6.0 lb per U.S. gallon", B, 6, LB / USGAL, "0.1"),
    one("45 lb/cu.ft.", {}, 45, LB / FT**3),
    one("0,72 kg/l", D, "0.72", F(1000), "0.01"),
    one("0.72 g/cm3", {}, "0.72", F(1000), "0.01"),
    one("720 kg/m³", {}, 720, F(1)),
    one("720 g/l", {}, 720, F(1)),
]  # fmt: skip

LOADING = [
    one("wing loading 28.4 lb./sq.ft.", B, "28.4", LB / FT**2, "0.1"),
    one("28.4 lb./sq.ft.", {"parameter": "wing loading"}, "28.4", LB / FT**2, "0.1"),
    one("wing loading 28.4 lb. per sq. ft.", {}, "28.4", LB / FT**2, "0.1"),
    one("Flächenbelastung 160 kg/m²", D, 160, F(1)),
    one("160 kg/m2", {**D, "parameter": "wing loading"}, 160, F(1)),
    one("160", {"parameter": "wing loading", "unit": "kgf/m2"}, 160, F(1)),
    one("160", {"parameter": "wing loading", "unit": "kg/m2"}, 160, F(1)),
    one(
        "28.4", {"parameter": "wing loading", "unit": "[lb_av]/[sft_i]"}, "28.4", LB / FT**2, "0.1"
    ),
    one("charge alaire 140 kg/m²", FR, 140, F(1)),
    one("carico alare 140 kg/m²", I, 140, F(1)),
    one("нагрузка на крыло 170 кг/м²", S, 170, F(1)),
    one("power loading 9.8 lb./h.p.", B, "9.8", LB / HP, "0.1"),
    one("power loading 9.8 lb. per b.h.p.", B, "9.8", LB / HP, "0.1"),
    one("Leistungsbelastung 2,9 kg/PS", D, "2.9", 1 / PS, "0.1"),
    one("2,9 kg/ch", FR, "2.9", 1 / PS, "0.1"),
    one("2,9 кг/л.с.", S, "2.9", 1 / PS, "0.1"),
    one("2.9 kg/kW", {}, "2.9", 1 / KW, "0.1"),
    one("32 PS/l", D, 32, PS / L),
    one("35 h.p. per litre", B, 35, HP / L),
    one("0.6 h.p. per cu. in.", A, "0.6", HP / IN**3, "0.1"),
]

ANY = [
    one("2,850 r.p.m.", {}, 2850, F(1, 60)),
    one("45 rev/s", {}, 45, F(1)),
    one("2.650 U/min", D, 2650, F(1, 60)),
    one("2850 tr/mn", FR, 2850, F(1, 60)),
    one("2,850", {"parameter": "engine speed"}, 2850, F(1, 60)),
    one("1,175 b.h.p.", B, 1175, HP),
    one("1175 CV", I, 1175, PS),
    one("1175 л.с.", S, 1175, PS),
    one("750 kW", {}, 750, KW),
    one("torque 45 lb. ft.", {}, 45, LB * G * FT),
    one("torque 300 in. lb.", {}, 300, LB * G * IN),
    one("12 mkg", D, 12, G),
    one("1200 cmkg", D, 1200, G / 100),
    one("8 oz. in.", {}, 8, OZ * G * IN),
    one("2,200 ft./min.", {}, 2200, FT / MIN),
    one("18 m/s", D, 18, F(1)),
    one("410 miles", B, 410, MILE),
    one("9.000 m", D, 9000, F(1)),
    one("compression ratio 6.5 : 1", {}, "6.5", F(1), "0.1"),
    one("25%", {}, 25, F(1, 100)),
    one("24 volts", {}, 24, F(1)),
    one("40 amp. hr.", {}, 40, H),
    one("load factor 6 g", {}, 6, G),
    one("¾ gallon", B, F(3, 4), GAL, Q),
    one("1 1/2 gallons", A, F(3, 2), USGAL, F(1, 2)),
    one("0.012 in.", {}, "0.012", IN, "0.001"),
    one("25/100 mm", FR, "0.25", F(1, 1000), "0.01"),
]

MORE = [
    one("boost +9 lb./in.²", B, 9, PSI, 1, FD),
    one("boost +9 lbs/□″", B, 9, PSI, 1, FD),
    one("minus two and three quarter pounds of boost", {}, F(-11, 4), PSI, Q, FD),
    one("−½ lb. boost", B, F(-1, 2), PSI, F(1, 2), FD),
    one("ブースト ＋二五〇粍", J, 250, MMHG, 1, FD),
    one("+0.35 kg/cm² boost", D, "0.35", AT, "0.01", FD),
    one("46.5 inches M.A.P.", {}, "46.5", INHG, "0.1", AB),
    one("P.A. 900 mm Hg", FR, 900, MMHG, 1, AB),
    one("pression d'admission 900 m/m", FR, 900, MMHG, 1, AB),
    one("Ladedruck 1,3 at abs.", D, "1.3", AT, "0.1", AB),
    one("Öldruck 6 atue", D, 6, AT, 1, GA),
    one("oil pressure 6 kg./cm.²", {}, 6, AT, 1, GA),
    two("давление бензина 200—250 г/см²", S, 200, 250, AT / 1000, 1, GA),
    one("Überdruck 0,35 at", D, "0.35", AT, "0.01", GA),
    one("Unterdruck 300 mm Wassersäule", D, 300, MMH2O, 1, BE),
    one("dépression 60 cm d'eau", FR, 60, 10 * MMH2O, 1, BE),
    one("depressione 300 mm d'acqua", I, 300, MMH2O, 1, BE),
    one("Unterdruck 80 cm WS", D, 80, 10 * MMH2O, 1, BE),
    one("8 quarts (US)", B, 8, USQT),
    one("85 gallons (English)", A, 85, GAL),
    one("130 naut. miles per hour", {**B, "year": 1940}, 130, KN_UK),
    one("450 naut. mi.", {**A, "year": 1940}, 450, F("1853.248")),
    one("1.2 nautical miles per gallon", {**B, "year": 1943}, "1.2", 6080 * FT / GAL_1898, "0.1"),
    one("100 gal.", {**B, "year": 1824}, 100, F("277.274") * (F("0.9143992") / 36) ** 3),
    one("220 g je PS und Stunde", D, 220, GR / (PS * H)),
    one("225 grammes par cheval et par heure", FR, 225, GR / (PS * H)),
    one("220 g/(kW·h)", {}, 220, GR / (KW * H)),
    one("0.55 pint per H.P. per hour", B, "0.55", PT / (HP * H), "0.01"),
    one("0.075 gallons (U.S.) per hp hour", {}, "0.075", USGAL / (HP * H), "0.001"),
    one("8½ oz./b.h.p./hr.", B, F(17, 2), OZ / (HP * H), F(1, 2)),
    one("1.1 lb. fuel/lb. thrust/hr", {}, "1.1", 1 / (G * H), "0.1"),
    one("1,1 кг/кг тяги/час", S, "1.1", 1 / (G * H), "0.1"),
    two("215-225 g/PSh", D, 215, 225, GR / (PS * H)),
    one("нагрузка на мощность 3,1 кг/л. с.", S, "3.1", 1 / PS, "0.1"),
    one("wing loading 28·4 lb./sq. ft.", B, "28.4", LB / FT**2, "0.1"),
    one("wing loading 28.4 psf", {}, "28.4", LB / FT**2, "0.1"),
    one("sp. gr. 60/60 °F 0.720", {}, "0.720", WATER60F, "0.001"),
    one("specific gravity at 60/60°F 0.720", {}, "0.720", WATER60F, "0.001"),
    one("oil S.G. 0.893 at 60° F.", B, "0.893", WATER60F, "0.001"),
]

MORE_TEMPERATURE: list[Case] = [
    ("64 deg. Réaumur", {}, 64 * F(5, 4) + ZERO_C, F(5, 8), "none"),
    ("Réaumur 64°", {}, 64 * F(5, 4) + ZERO_C, F(5, 8), "none"),
    ("температура воды 64° Р", S, 64 * F(5, 4) + ZERO_C, F(5, 8), "none"),
    ("-8 °R", D, -8 * F(5, 4) + ZERO_C, F(5, 8), "none"),
    ("20° Réaumur below zero", {}, -20 * F(5, 4) + ZERO_C, F(5, 8), "none"),
]

CASES: list[Case] = [
    *BOOST, *ABSOLUTE, *GAUGE, *BELOW, *UNKNOWN_FORM, *OTHER_FORMS, *COMPOUND, *MASS, *TEMPERATURE,
    *PERIOD, *CONSUMPTION, *FLOW, *DENSITY, *LOADING, *ANY, *MORE, *MORE_TEMPERATURE,
]  # fmt: skip


def _id(case: Case) -> str:
    return case[0] + (f" {sorted(case[1].items())}" if case[1] else "")


@pytest.mark.parametrize("case", CASES, ids=map(_id, CASES))
def test_a_lone_figure(case: Case) -> None:
    """Value, rounding half-width and reference form of a lone figure."""
    text, keywords, value, half, form = case
    figure = reconcile.figure(text, **keywords)
    si = figure.si
    got = (si.lo, si.hi) if isinstance(value, tuple) else (si.nominal,)
    wanted = value if isinstance(value, tuple) else (value,)
    assert [float(x) for x in wanted] == pytest.approx(got, rel=2e-8, abs=0)
    assert si.half_width == pytest.approx(float(half), rel=2e-8, abs=0)
    assert figure.reference_form == si.reference_form == form
    assert figure.as_written in text
    assert text[slice(*figure.span)] == figure.as_written


AT_ANY_HEIGHT: list[tuple[str, dict[str, Any], F]] = [
    ("boost +6¼ lb./sq.in.", {}, ATM + F(25, 4) * PSI),
    ("boost +6¼ lb./sq.in.", {"datum": "101325 Pa"}, ATM + F(25, 4) * PSI),
    ("boost +6¼ lb./sq.in.", {"datum": "14.7 lb/in2"}, F("14.7") * PSI + F(25, 4) * PSI),
    ("boost +6¼ lb./sq.in.", {"datum": "30 in.Hg"}, 30 * INHG + F(25, 4) * PSI),
    ("boost minus 2 3/4 lb./sq.in.", {"datum": "30 in.Hg"}, 30 * INHG - F(11, 4) * PSI),
    ("zero boost", {**B, "datum": "14.7 lb/in2"}, F("14.7") * PSI),
    ("9 lb/sq.in.", {"datum": "14.7 lb/in2"}, F("23.7") * PSI),
    ("9", {"parameter": "boost", "unit": "[psi]", "datum": "30 in.Hg"}, 30 * INHG + 9 * PSI),
    ("boost +150 mm Hg", {**J, "datum": "760 mm Hg"}, 910 * MMHG),
    ("-100 mm Hg", {**J, "datum": "101325 Pa"}, ATM - 100 * MMHG),
    ("1,42 ata", D, F("1.42") * AT),
    ("900 мм рт. ст.", S, 900 * MMHG),
    ("boost +8 lb/sq.in. at 10,000 ft", {}, ATM + 8 * PSI),
]


@pytest.mark.parametrize(("text", "keywords", "value"), AT_ANY_HEIGHT)
def test_absolute_at_any_height(text: str, keywords: dict[str, Any], value: F) -> None:
    """Boost by any datum, and absolute pressures, need no height to be absolute."""
    figure = reconcile.figure(text, **keywords)
    for height in (None, 0, 3048.0):
        assert figure.absolute(height_m=height).nominal == pytest.approx(
            float(value), rel=2e-8, abs=0
        )
    assert figure.gauge(height_m=0).nominal == pytest.approx(float(value - ATM), rel=2e-8, abs=1e-6)


ISA_10000_FT = F("69681.6")  # ISO 2533:1975, table 5 in Pa, to six figures
ISA_15000_FT = F("57181.9")
ISA_20000_FT = F("46563.2")
ISA_25000_FT = F("37600.9")
WITH_HEIGHT: list[tuple[str, dict[str, Any], F]] = [
    ("oil pressure 75 lb./sq.in. at 15,000 ft", B, ISA_15000_FT + 75 * PSI),
    ("oil pressure 75 lb./sq.in. at 15,000 feet", {}, ISA_15000_FT + 75 * PSI),
    ("at 15,000 ft. oil pressure 75 lb./sq.in.", B, ISA_15000_FT + 75 * PSI),
    ("suction 4¼ in. Hg at 10,000 ft", A, ISA_10000_FT - F(17, 4) * INHG),
    ("cabin differential pressure 3.5 lb/sq.in. at 25,000 ft", B, ISA_25000_FT + F("3.5") * PSI),
    ("cabin differential 6.5 psi at 20,000 ft", A, ISA_20000_FT + F("6.5") * PSI),
    ("Öldruck 5 atü in 4572 m Höhe", D, ISA_15000_FT + 5 * AT),
    ("Unterdruck 100 mm Hg in 3048 m Höhe", D, ISA_10000_FT - 100 * MMHG),
    ("pression d'huile 5 kg/cm² à 4.572 m", FR, ISA_15000_FT + 5 * AT),
]


@pytest.mark.parametrize(("text", "keywords", "value"), WITH_HEIGHT)
def test_a_height_said_in_the_text(text: str, keywords: dict[str, Any], value: F) -> None:
    """A height said with a pressure is where the air around it is taken."""
    figure = reconcile.figure(text, **keywords)
    assert figure.kind == "pressure"
    assert figure.absolute().nominal == pytest.approx(float(value), rel=2e-6)
    sea_level = figure.absolute(height_m=0).nominal
    assert sea_level is not None
    assert sea_level > float(value)  # a height given by the caller goes first


REFUSING: list[tuple[str, dict[str, Any]]] = [
    ("oil pressure 75 lb./sq.in.", {}),
    ("Öldruck 5 atü", D),
    ("0,4 atu", D),
    ("suction 4½ in. Hg", B),
    ("cabin differential pressure 6.5 lb./sq.in.", B),
]


@pytest.mark.parametrize(("text", "keywords"), REFUSING)
def test_without_a_height_it_refuses(text: str, keywords: dict[str, Any]) -> None:
    """What counts from the air around has no absolute value until the air is known."""
    with pytest.raises(reconcile.ReconcileError):
        reconcile.figure(text, **keywords).absolute()


@pytest.mark.parametrize("text", ["5 kg/cm²", "900 mm Hg", "200 mm water gauge", "14 lb/in2"])
def test_an_unknown_form_has_no_absolute_value(text: str) -> None:
    """Where nothing says what a pressure counts from, no height helps."""
    figure = reconcile.figure(text)
    assert figure.status == "ambiguous"
    with pytest.raises(reconcile.ReconcileError):
        figure.absolute(height_m=0)
    with pytest.raises(reconcile.ReconcileError):
        figure.gauge(height_m=0)


def test_gauge_of_suction_and_absolute() -> None:
    """Suction is negative over the air around; absolute pressure less the air."""
    assert reconcile.figure("suction 4 in. Hg", **A).gauge().nominal == pytest.approx(
        -float(4 * INHG), rel=2e-8
    )
    assert reconcile.figure("1,3 ata", **D).gauge(height_m=0).nominal == pytest.approx(
        float(F("1.3") * AT - ATM), rel=2e-8
    )


@pytest.mark.parametrize(
    ("text", "first", "second"),
    [
        ("85 gallons", GAL, USGAL),
        ("85 gallons at 2,400 r.p.m.", GAL, USGAL),
        ("8 quarts", USQT, QT),
        ("38 gallons per hour", GAL / H, USGAL / H),
        ("2 tons", TON, 2000 * LB),
    ],
)
def test_rival_units_of_unknown_tradition(text: str, first: F, second: F) -> None:
    """A gallon or ton of nobody's country is ambiguous, with both for candidates."""
    figure = reconcile.figure(text)
    number = float(text.split()[0])
    assert figure.status == "ambiguous"
    sizes = [c.quantity.si.nominal for c in figure.candidates]
    assert sizes == pytest.approx([number * float(first), number * float(second)], rel=2e-8)
    assert sum(c.odds for c in figure.candidates) == pytest.approx(1)


TOLERANCES: list[tuple[str, dict[str, Any], F, F, F]] = [
    ("oil pressure 80 ± 5 lb./sq.in.", B, 80 * PSI, 75 * PSI, 85 * PSI),
    ("oil pressure 80 +5 -10 lb./sq.in.", B, 80 * PSI, 70 * PSI, 85 * PSI),
    ("oil pressure 80 lb./sq.in. +5 −10", B, 80 * PSI, 70 * PSI, 85 * PSI),
    ("boost +6 ± ¼ lb./sq.in.", B, 6 * PSI, F(23, 4) * PSI, F(25, 4) * PSI),
    ("0.012 in. ± 0.001 in.", B, F("0.012") * IN, F("0.011") * IN, F("0.013") * IN),
    ("2850 ± 50 r.p.m.", A, F(2850, 60), F(2800, 60), F(2900, 60)),
    ("85 ± 5 °C", {}, 85 + ZERO_C, 80 + ZERO_C, 90 + ZERO_C),
    ("14,700 ± 100 lb.", B, 14700 * LB, 14600 * LB, 14800 * LB),
    ("Ladedruck 1,30 ± 0,02 ata", D, F("1.30") * AT, F("1.28") * AT, F("1.32") * AT),
]


@pytest.mark.parametrize(("text", "keywords", "nominal", "lo", "hi"), TOLERANCES)
def test_tolerances(text: str, keywords: dict[str, Any], nominal: F, lo: F, hi: F) -> None:
    """Printed tolerances, of one or two sides, become ends in SI."""
    si = reconcile.figure(text, **keywords).si
    assert (si.nominal, si.lo, si.hi) == pytest.approx(
        tuple(map(float, (nominal, lo, hi))), rel=2e-8, abs=0
    )


@pytest.mark.parametrize(
    "text",
    ["", "   ", "hello", "oil pressure", "NaN", "nan psi", "inf lb", "-inf", "1e400 psi", "°",
     "--- ± lb", "\x00\x01", "½ and a half of nothing"],
)  # fmt: skip
def test_no_figure_is_a_usage_error(text: str) -> None:
    """A text with no figure in it is refused in one sentence."""
    with pytest.raises(reconcile.errors.UsageError):
        reconcile.figure(text)


@pytest.mark.parametrize(
    ("text", "keywords"),
    [
        ("6 lb", {"unit": "furlong"}),
        ("6 lb", {"tradition": "martian"}),
        ("6 lb", {"reference_form": "gage"}),
        ("6 lb boost", {"datum": "14.6 lb/in2"}),
        ("85 °C", {"reference_form": "gauge"}),
        ("6 lb", {"year": "1943"}),
        ("6 lb", {"year": True}),
        ("hello", {"unit": "[psi]"}),
    ],
)
def test_keywords_that_do_not_fit(text: str, keywords: dict[str, Any]) -> None:
    """A keyword outside its list, or one that cannot go with the figure, is refused."""
    with pytest.raises(reconcile.ReconcileError):
        reconcile.figure(text, **keywords)


def test_a_keyword_overrules_the_words() -> None:
    """Unit, form and parameter given by the caller go before what the text says."""
    figure = reconcile.figure(
        "oil pressure 5 atü", unit="[psi]", reference_form="absolute", parameter="fuel pressure"
    )
    assert (figure.unit, figure.reference_form, figure.parameter) == (
        "[psi]", "absolute", "fuel pressure",
    )  # fmt: skip
    assert figure.si.nominal == pytest.approx(float(5 * PSI), rel=2e-8)
    assert figure.status == "read"


def test_a_battery_is_no_fuel() -> None:
    """The specific gravity of an electrolyte stays a ratio; that of a fuel is a density."""
    figure = reconcile.figure("battery electrolyte specific gravity 1.285")
    assert (figure.unit, figure.kind, figure.si.nominal) == ("1", "ratio", 1.285)
    figure = reconcile.figure("specific gravity .72")
    assert (figure.unit, figure.kind) == ("1", "density")
