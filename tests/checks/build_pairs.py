"""Make the labelled pairs of figures in pairs.json: truth by construction.

Run as ``python tests/checks/build_pairs.py``. Everything is invented. The writer shares no
code and no table with the package: its own factors, its own printing, its own digit
confusions, its own reading of the verdict rule (floats), so that it can find it out.
"""

from __future__ import annotations

import json
import math
import random
from itertools import pairwise
from pathlib import Path

P0 = 101325.0
# code: (SI factor, SI offset, how it is printed, decimals usual when converted into it)
UNITS = {
    "[psi]": (6894.757293168, 0, "lb./sq.in."),
    "kgf/cm2": (98066.5, 0, "kg./sq.cm."),
    "att": (98066.5, 0, "ata"),
    "atm": (101325.0, 0, "atm."),
    "[in_i'Hg]": (3386.388640341, 0, "in.Hg"),
    "mm[Hg]": (133.322387415, 0, "mm.Hg"),
    "{rev}/min": (1 / 60, 0, "r.p.m."),
    "Cel": (1.0, 273.15, "°C."),
    "[degF]": (5 / 9, 459.67 * 5 / 9, "°F."),
    "[mi_i]/h": (0.44704, 0, "m.p.h."),
    "[kn_i]": (1852 / 3600, 0, "knots"),
    "km/h": (1 / 3.6, 0, "km/h"),
    "[ft_i]": (0.3048, 0, "ft."),
    "m": (1.0, 0, "m."),
    "[gal_br]": (4.54609e-3, 0, "gallons (Imperial)"),
    "[gal_us]": (3.785411784e-3, 0, "U.S. gallons"),
    "L": (1e-3, 0, "litres"),
    "[lb_av]": (0.45359237, 0, "lb."),
    "kg": (1.0, 0, "kg."),
    "[HP]": (745.6998715822702, 0, "h.p."),
    "75.kgf.m/s": (735.49875, 0, "PS"),
    "[in_i]": (0.0254, 0, "in."),
    "mm": (1e-3, 0, "mm."),
}
KIND = {
    "[psi]": "pressure",
    "kgf/cm2": "pressure",
    "att": "pressure",
    "atm": "pressure",
    "[in_i'Hg]": "pressure",
    "mm[Hg]": "pressure",
    "{rev}/min": "rotational_speed",
    "Cel": "temperature",
    "[degF]": "temperature",
    "[mi_i]/h": "speed",
    "[kn_i]": "speed",
    "km/h": "speed",
    "[ft_i]": "altitude",
    "m": "altitude",
    "[gal_br]": "volume",
    "[gal_us]": "volume",
    "L": "volume",
    "[lb_av]": "mass",
    "kg": "mass",
    "[HP]": "power",
    "75.kgf.m/s": "power",
    "[in_i]": "length",
    "mm": "length",
}
# parameter, unit, form, values a book would set, twins (unit, form, decimals)
STOCK = [
    ("oil pressure", "[psi]", "gauge", [45, 60, 65, 70, 80, 90, 100], [("kgf/cm2", "gauge", 1)]),
    ("oil pressure", "kgf/cm2", "gauge", [4, 5, 6, 7, 8, 9], [("[psi]", "gauge", 0)]),
    ("fuel pressure", "[psi]", "gauge", [6, 8, 12, 15, 16, 18], [("kgf/cm2", "gauge", 2)]),
    (
        "hydraulic pressure",
        "[psi]",
        "gauge",
        [450, 800, 1200, 1500, 1800, 2500],
        [("kgf/cm2", "gauge", 0)],
    ),
    ("brake pressure", "[psi]", "gauge", [75, 80, 120, 200, 250], [("kgf/cm2", "gauge", 1)]),
    (
        "boost",
        "[psi]",
        "fixed_datum",
        [-4, -2, 2, 4, 6, 7, 9, 12, 14, 18],
        [("[in_i'Hg]", "absolute", 1), ("att", "absolute", 2), ("mm[Hg]", "absolute", 0)],
    ),
    (
        "manifold pressure",
        "[in_i'Hg]",
        "absolute",
        [25, 28, 30, 32, 35, 38, 42, 46, 52, 54, 60],
        [("mm[Hg]", "absolute", 0), ("att", "absolute", 2)],
    ),
    (
        "manifold pressure",
        "att",
        "absolute",
        [1.05, 1.15, 1.2, 1.25, 1.3, 1.35, 1.42],
        [("[in_i'Hg]", "absolute", 1), ("mm[Hg]", "absolute", 0)],
    ),
    ("engine speed", "{rev}/min", "none", [800, 1200, 2250, 2400, 2600, 2650, 2850, 3000], []),
    (
        "coolant temperature",
        "Cel",
        "none",
        [60, 70, 85, 95, 100, 105, 115, 120, 125, 135],
        [("[degF]", "none", 0)],
    ),
    ("oil inlet temperature", "Cel", "none", [15, 40, 65, 80, 85, 90, 95], [("[degF]", "none", 0)]),
    (
        "cylinder head temperature",
        "Cel",
        "none",
        [140, 190, 210, 235, 260, 270],
        [("[degF]", "none", 0)],
    ),
    (
        "outside air temperature",
        "Cel",
        "none",
        [-25, -15, -10, -5, 15, 25],
        [("[degF]", "none", 0)],
    ),
    (
        "airspeed",
        "[mi_i]/h",
        "none",
        [95, 120, 125, 140, 180, 220, 260, 320, 350, 450],
        [("[kn_i]", "none", 0), ("km/h", "none", 0)],
    ),
    ("airspeed", "km/h", "none", [180, 200, 250, 320, 350, 420, 650], [("[mi_i]/h", "none", 0)]),
    (
        "altitude",
        "[ft_i]",
        "none",
        [2500, 6500, 8000, 12500, 16000, 18500, 21000],
        [("m", "none", -1)],
    ),
    (
        "fuel capacity",
        "[gal_br]",
        "none",
        [24, 37, 52, 85, 98, 114, 150, 215, 350],
        [("L", "none", 0), ("[gal_us]", "none", 0)],
    ),
    ("oil capacity", "[gal_us]", "none", [8, 14, 18, 28, 32, 45], [("L", "none", 0)]),
    (
        "weight",
        "[lb_av]",
        "none",
        [1250, 2300, 6550, 7850, 9500, 15400, 28000],
        [("kg", "none", 0)],
    ),
    ("power", "[HP]", "none", [165, 420, 890, 1030, 1175, 1280, 1650], [("75.kgf.m/s", "none", 0)]),
    ("fuel weight", "kg", "none", [1.25, 2.75, 6.35, 12.75, 14.25], [("[lb_av]", "none", 1)]),
    ("valve clearance", "mm", "none", [0.25, 0.35, 0.45, 0.65], [("[in_i]", "none", 3)]),
]
NEUTRAL = [
    "",
    "",
    "",
    "found while checking the card against the book",
    "both stand in chapter 4",
    "from the limitations page",
    "same paragraph, same rating in both places",
]
COPY = [
    "the second is a typed copy of the first",
    "the printed page, then a retyped sheet of it",
    "book against its scan",
    "original, and text keyed from it by a volunteer",
    "printed page and what the OCR made of it",
]
COPY_FIRST = [
    "the first is a typed copy of the second",
    "a keyed transcript, then the original book",
]
ALIKE = {
    "0": "68",
    "1": "7",
    "2": "7",
    "3": "85",
    "4": "9",
    "5": "63",
    "6": "85",
    "7": "1",
    "8": "36",
    "9": "4",
}
CUES = {
    "edition_amended": [
        "amendment list 6 lowered it",
        "the 1944 revision of the same page",
        "superseded by the later edition",
        "A.L. 12 raised it in the new issue",
    ],
    "different_condition": [
        "one is for take-off and the other for climb",
        "M gear against S gear",
        "87 octane in one, 100 octane in the other",
        "cruising in weak and in rich mixture",
    ],
    "imperial_us_gallon": [
        "this copy was printed for an American depot",
        "export book for Canada and the U.S.",
        "",
    ],
    "statute_nautical": ["the Navy's edition of the notes", "Fleet instructions, in knots", ""],
    "technical_standard_atmosphere": ["translation of a captured card", "German instruction", ""],
    "decimal_comma_as_thousands": ["translated from the French", "a continental paper", ""],
    "thousands_point_as_decimal": ["translated from the German", "a continental paper", ""],
    "scale_multiplier": ["read off a dial marked in hundreds", "the gauge reads x10", ""],
    "gauge_absolute": ["one of the two may be absolute", "", ""],
    "fahrenheit_celsius": ["Centigrade thermometers in this mark", "", ""],
    "degree_mark_as_zero": ["scan of a worn page", "OCR text of the handbook", ""],
}


def si(number, unit, form):
    factor, offset, _ = UNITS[unit]
    return factor * number + offset + (P0 if form in ("gauge", "fixed_datum") else 0)


def number(value, unit, form):
    factor, offset, _ = UNITS[unit]
    return (value - offset - (P0 if form in ("gauge", "fixed_datum") else 0)) / factor


def shown(value, decimals):
    return f"{round(value, decimals):.{max(decimals, 0)}f}"


def fig(text_number, unit, form, parameter, style=None):
    """A figure as printed: its number as text decides value and resolution."""
    bare = text_number.replace(",", "")
    decimals = len(bare.partition(".")[2])
    sign = text_number if text_number[0] in "+-" or form != "fixed_datum" else "+" + text_number
    written = f"{sign} {UNITS[unit][2] if style is None else style}"
    return {
        "as_written": written,
        "nominal": bare,
        "unit": unit,
        "kind": KIND[unit],
        "form": form,
        "resolution": f"1e-{decimals}" if decimals else "1",
        "parameter": parameter,
    }


def half_step(f):
    value, place = abs(float(f["nominal"])), float(f["resolution"])
    factor = UNITS[f["unit"]][0]
    if f["kind"] == "temperature":
        most = 2.5 / factor
    elif f["form"] == "fixed_datum":
        most = 0.01 * si(float(f["nominal"]), f["unit"], f["form"]) / factor
    else:
        most = 0.01 * value
    best = place
    n = round(value / place)
    for k in range(8):
        for d in (1, 2, 5):
            if n % (d * 10**k) == 0 and place * d * 10**k / 2 <= most + 1e-12:
                best = max(best, place * d * 10**k)
    return best / 2 * factor


def verdict(a, b):
    gap = abs(
        si(float(a["nominal"]), a["unit"], a["form"])
        - si(float(b["nominal"]), b["unit"], b["form"])
    )
    last = max(float(f["resolution"]) * UNITS[f["unit"]][0] for f in (a, b)) / 2
    if gap <= last * (1 + 1e-9):
        return "agrees"
    return (
        "agrees within rounding"
        if gap <= (half_step(a) + half_step(b)) * (1 + 1e-9)
        else "contradicts"
    )


def pick(rng, twin=None, test=lambda row: True):
    rows = [r for r in STOCK if test(r) and (not twin or r[4])]
    row = rng.choice(rows)
    return row, rng.choice(row[3])


def pair(rng, twin, test=lambda row: True, unit=None):
    """A clean pair: the set figure and its twin, or its twin witness."""
    (param, u, form, _, twins), value = pick(rng, twin, test)
    text = f"{value:g}" if value != int(value) else str(int(value))
    if u == "att" or (u == "kg" and value < 100) or u == "mm":
        text = f"{value:.2f}"
    if abs(value) >= 1000 and rng.random() < 0.5:
        text = f"{value:,}"
    a = fig(text, u, form, param)
    if not twin:
        return a, fig(
            f"{value:,}" if rng.random() < 0.3 and abs(value) >= 1000 else text, u, form, param
        )
    choice = [t for t in twins if unit is None or t[0] == unit] or twins
    tu, tform, decimals = rng.choice(choice)
    exact = number(si(value, u, form), tu, tform)
    b = fig(
        shown(exact, decimals) if decimals >= 0 else str(round(exact / 10) * 10), tu, tform, param
    )
    return a, b


def sloppy(rng):
    """A twin rounded the way a book would: to fives and tens where it mattered little."""
    while True:
        a, b = pair(rng, True)
        value = float(b["nominal"])
        place = float(b["resolution"])
        steps = [s * place for s in (2, 5, 10, 20, 50, 100) if s * place / 2 <= 0.01 * abs(value)]
        if not steps:
            continue
        step = rng.choice(steps)
        decimals = len(b["nominal"].partition(".")[2])
        rounded = round(value / step) * step
        b = fig(f"{rounded:.{decimals}f}", b["unit"], b["form"], b["parameter"])
        if verdict(a, b) != "contradicts":
            return a, b


def swap_number(f, text, style=None):
    return fig(text, f["unit"], f["form"], f["parameter"], style if style is not None else None)


def with_fault(rng, cause):
    """A pair with one known fault: (a, b, faulty index or None, true figure or None, context)."""
    twin = rng.random() < 0.6
    which = 1 if rng.random() < 0.7 else 0
    context = rng.choice(CUES.get(cause, NEUTRAL))
    if cause in ("edition_amended", "different_condition"):
        (param, u, form, values, _), value = pick(rng, test=lambda r: len(r[3]) > 4)
        other = rng.choice([v for v in values if v != value and 0.6 < abs(v / value) < 1.7] or [0])
        if not other or value * other < 0:
            return None
        text = [
            f"{v:.2f}" if u in ("att", "mm") or (u == "kg" and v < 99) else f"{v:g}"
            for v in (value, other)
        ]
        return fig(text[0], u, form, param), fig(text[1], u, form, param), None, None, context
    if cause in ("misread_digit", "transposed_digits"):
        a, b = pair(rng, twin)
        two = [a, b]
        if not twin:
            context = rng.choice(COPY if which else COPY_FIRST)
        digits = two[which]["nominal"]
        spots = [i for i, c in enumerate(digits) if c.isdigit()]
        if cause == "misread_digit":
            i = rng.choice(spots)
            new = digits[:i] + rng.choice(ALIKE[digits[i]]) + digits[i + 1 :]
        else:
            gaps = [(i, j) for i, j in pairwise(spots) if digits[i] != digits[j]]
            if not gaps:
                return None
            i, j = rng.choice(gaps)
            chars = list(digits)
            chars[i], chars[j] = chars[j], chars[i]
            new = "".join(chars)
        if new.lstrip("-")[0] == "0" and len(new.lstrip("-")) > 1 and new.lstrip("-")[1] != ".":
            return None
        true = two[which]
        two[which] = swap_number(true, new)
        return *two, which, true, context
    if cause == "lost_decimal_point":
        a, b = pair(rng, twin)
        two = [a, b]
        which = next((i for i in (which, 1 - which) if "." in two[i]["nominal"]), None)
        if which is None:
            return None
        true = two[which]
        new = true["nominal"].replace(".", "").lstrip("0")
        two[which] = swap_number(true, new)
        return *two, which, true, rng.choice(NEUTRAL + COPY[2:3] if which else NEUTRAL)
    if cause in ("lost_sign", "wrong_sign"):
        a, b = pair(rng, twin, lambda r: r[0] in ("boost", "outside air temperature"))
        two = [a, b]
        which = next(
            (
                i
                for i in (which, 1 - which)
                if float(two[i]["nominal"]) < 0
                or (cause == "wrong_sign" and two[i]["form"] == "fixed_datum")
            ),
            None,
        )
        if which is None:
            return None
        true = two[which]
        bare = true["nominal"].lstrip("-")
        f = dict(true, nominal=bare if true["nominal"][0] == "-" else "-" + bare)
        sign = "" if cause == "lost_sign" else ("+" if true["nominal"][0] == "-" else "-")
        f["as_written"] = f"{sign}{bare} {UNITS[f['unit']][2]}"
        two[which] = f
        return *two, which, true, rng.choice(NEUTRAL)
    if cause == "decimal_comma_as_thousands":
        value = rng.choice([1.125, 1.275, 6.55, 2.375, 4.825, 12.5, 0.825])
        digits = f"{value:.3f}"
        true = fig(digits, "kg", "none", "fuel weight")
        wrong = dict(
            true,
            nominal=digits.replace(".", "").lstrip("0"),
            resolution="1",
            as_written=digits.replace(".", ",") + " kg.",
        )
        b = fig(shown(value / 0.45359237, 2), "[lb_av]", "none", "fuel weight")
        other = b if twin else fig(f"{value:.3f}".rstrip("0"), "kg", "none", "fuel weight")
        two = [wrong, other] if which == 0 else [other, wrong]
        return *two, which, true, context
    if cause == "thousands_point_as_decimal":
        value = rng.choice([2400, 2650, 2850, 1250, 1750, 2200])
        unit = rng.choice(["{rev}/min", "m", "kg"])
        param = {"{rev}/min": "engine speed", "m": "altitude", "kg": "weight"}[unit]
        true = fig(str(value), unit, "none", param)
        wrong = dict(
            true,
            nominal=f"{value / 1000:.3f}",
            resolution="1e-3",
            as_written=f"{value / 1000:.3f} {UNITS[unit][2]}",
        )
        other = fig(f"{value:,}", unit, "none", param)
        if unit == "m" and twin:
            other = fig(str(round(value / 0.3048 / 10) * 10), "[ft_i]", "none", param)
        if unit == "kg" and twin:
            other = fig(str(round(value / 0.45359237)), "[lb_av]", "none", param)
        two = [wrong, other] if which == 0 else [other, wrong]
        return *two, which, true, context
    if cause == "degree_mark_as_zero":
        a, b = pair(rng, twin, lambda r: r[1] == "Cel" and r[3][0] > 0)
        two = [a, b]
        true = two[which]
        unit = "C" if true["unit"] == "Cel" else "F"
        wrong = dict(true, nominal=true["nominal"] + "0", as_written=f"{true['nominal']}0{unit}.")
        two[which] = wrong
        return *two, which, true, context
    if cause == "imperial_us_gallon":
        true = fig(
            str(rng.choice([24, 37, 52, 85, 114, 150, 215])), "[gal_br]", "none", "fuel capacity"
        )
        if rng.random() < 0.5:  # the label is wrong; its twin in litres is right
            litres = float(true["nominal"]) * 4.54609
            wrong = dict(true, unit="[gal_us]", as_written=f"{true['nominal']} U.S. gallons")
            b = fig(str(round(litres)), "L", "none", "fuel capacity")
            return wrong, b, 0, true, context
        litres = float(true["nominal"]) * 3.785411784
        wrong = fig(str(round(litres)), "L", "none", "fuel capacity")
        right = fig(str(round(float(true["nominal"]) * 4.54609)), "L", "none", "fuel capacity")
        return true, wrong, 1, right, rng.choice(NEUTRAL)
    if cause == "statute_nautical":
        value = rng.choice([95, 110, 120, 140, 180, 220, 260, 320])
        mph = fig(str(value), "[mi_i]/h", "none", "airspeed")
        if rng.random() < 0.5:
            return mph, dict(mph, unit="[kn_i]", as_written=f"{value} knots"), 1, mph, context
        wrong = fig(str(round(value * 1.852)), "km/h", "none", "airspeed")
        right = fig(str(round(value * 1.609344)), "km/h", "none", "airspeed")
        return mph, wrong, 1, right, rng.choice(["", "the Navy's edition of the notes"])
    if cause == "fahrenheit_celsius":
        value = rng.choice([60, 70, 85, 95, 105, 120, 125, 135])
        cel = fig(str(value), "Cel", "none", "coolant temperature")
        if rng.random() < 0.5:
            wrong = dict(cel, unit="[degF]", as_written=f"{value} °F.")
            return (cel, wrong, 1, cel, context)
        wrong = fig(str(round(value * 1.8)), "[degF]", "none", "coolant temperature")
        right = fig(str(round(value * 1.8 + 32)), "[degF]", "none", "coolant temperature")
        return cel, wrong, 1, right, context
    if cause == "technical_standard_atmosphere":
        value = rng.choice([1.15, 1.2, 1.25, 1.3, 1.35, 1.42])
        a = fig(f"{value:.2f}", "att", "absolute", "manifold pressure")
        unit = rng.choice(["[in_i'Hg]", "mm[Hg]"])
        d = 1 if unit == "[in_i'Hg]" else 0
        right = fig(shown(value * 98066.5 / UNITS[unit][0], d), unit, "absolute", a["parameter"])
        if rng.random() < 0.6:
            wrong = fig(shown(value * 101325 / UNITS[unit][0], d), unit, "absolute", a["parameter"])
            return a, wrong, 1, right, context
        wrong = dict(a, unit="atm", as_written=f"{value:.2f} atm.")
        return wrong, right, 0, a, context
    if cause == "gauge_absolute":
        a, b = pair(rng, True, lambda r: r[0] == "boost")
        plain = float(a["nominal"]) * 6894.757293168 / UNITS[b["unit"]][0]
        d = len(b["nominal"].partition(".")[2])
        if rng.random() < 0.6 and float(a["nominal"]) > 0:
            return a, fig(shown(plain, d), b["unit"], "absolute", b["parameter"]), 1, b, context
        oil = rng.choice([4, 5, 6, 7])
        true = fig(str(oil), "att", "gauge", "oil pressure", style="atü")
        wrong = dict(true, form="absolute", as_written=f"{oil} ata")
        psi = fig(str(round(oil * 14.2233)), "[psi]", "gauge", "oil pressure")
        return wrong, psi, 0, true, context
    if cause == "wrong_unit_label":
        true, wrongu, other = rng.choice(
            [
                (("60", "[psi]", "gauge", "oil pressure"), "kgf/cm2", ("4.2", "kgf/cm2", "gauge")),
                (("75", "[psi]", "gauge", "oil pressure"), "kgf/cm2", ("75", "[psi]", "gauge")),
                (("250", "km/h", "none", "airspeed"), "[mi_i]/h", ("155", "[mi_i]/h", "none")),
                (("420", "km/h", "none", "airspeed"), "[mi_i]/h", ("420", "km/h", "none")),
                (("2500", "m", "none", "altitude"), "[ft_i]", ("8200", "[ft_i]", "none")),
                (("6500", "[ft_i]", "none", "altitude"), "m", ("6500", "[ft_i]", "none")),
                (("6550", "[lb_av]", "none", "weight"), "kg", ("2970", "kg", "none")),
                (
                    ("4", "[in_i'Hg]", "below_ambient", "suction"),
                    "[psi]",
                    ("4", "[in_i'Hg]", "below_ambient"),
                ),
                (("85", "[gal_br]", "none", "fuel capacity"), "L", ("386", "L", "none")),
            ]
        )
        t = fig(*true)
        w = dict(t, unit=wrongu, as_written=f"{true[0]} {UNITS[wrongu][2]}")
        o = fig(*other, true[3])
        two = [w, o] if which == 0 else [o, w]
        return *two, which, t, rng.choice(NEUTRAL)
    if cause == "scale_multiplier":
        (param, u, form, _, _), value = pick(
            rng, test=lambda r: r[0] in ("engine speed", "boost") or r[1] == "mm[Hg]"
        )
        if u != "{rev}/min":
            value = rng.choice([2400, 2600, 2800, 3000])
            u, form, param = "{rev}/min", "none", "engine speed"
        k = 100 if value % 100 == 0 else 10
        true = fig(str(value), u, form, param)
        wrong = fig(str(value // k), u, form, param)
        two = [wrong, true] if which == 0 else [true, wrong]
        return *two, which, true, context
    if cause == "conversion_inverted":
        a, b = pair(rng, True, lambda r: r[0] not in ("boost",) and r[1] not in ("Cel", "[HP]"))
        fa, fb = UNITS[a["unit"]][0], UNITS[b["unit"]][0]
        if (a["form"] == "gauge") != (b["form"] == "gauge") or b["unit"] == "[gal_us]":
            return None
        value = float(a["nominal"]) * fb / fa
        if not 0.005 < value < 100000:
            return None
        digits = max(0, 2 - math.floor(math.log10(value)))
        return a, swap_number(b, shown(value, min(digits, 3))), 1, b, rng.choice(NEUTRAL)
    if cause == "ps_for_hp":
        value = rng.choice([1030, 1175, 1285, 1475, 1650])
        ps = fig(str(value), "75.kgf.m/s", "none", "power")
        return ps, dict(ps, unit="[HP]", as_written=f"{value} h.p."), 1, ps, "translated paper"
    raise KeyError(cause)


CAUSES = [
    "misread_digit",
    "transposed_digits",
    "lost_decimal_point",
    "lost_sign",
    "wrong_sign",
    "decimal_comma_as_thousands",
    "thousands_point_as_decimal",
    "degree_mark_as_zero",
    "imperial_us_gallon",
    "statute_nautical",
    "fahrenheit_celsius",
    "technical_standard_atmosphere",
    "gauge_absolute",
    "wrong_unit_label",
    "scale_multiplier",
    "conversion_inverted",
    "edition_amended",
    "different_condition",
    "ps_for_hp",
    "misread_digit",
    "transposed_digits",
]


def main(seed=19430, rounds=8):
    rng = random.Random(seed)
    cases = []
    for _ in range(rounds):
        for cause in CAUSES:
            while True:
                made = with_fault(rng, cause)
                if made is None or verdict(made[0], made[1]) != "contradicts":
                    continue
                a, b, faulty, true, context = made
                break
            cases.append(
                {
                    "id": f"conflict-{len(cases) + 1:03}",
                    "a": a,
                    "b": b,
                    "context": context,
                    "verdict": "contradicts",
                    "cause": cause,
                    "faulty": faulty,
                    "proposed": true,
                }
            )
    clean = round(len(cases) * 0.4 / 0.6)
    for n in range(clean):
        if n % 5 < 2:
            a, b = sloppy(rng)
        elif n % 5 < 4:
            a, b = pair(rng, True)
        else:
            a, b = pair(rng, False)
        context = rng.choice(
            NEUTRAL
            + COPY
            + CUES["technical_standard_atmosphere"][:1]
            + CUES["imperial_us_gallon"][:1]
        )
        cases.append(
            {
                "id": f"clean-{n + 1:03}",
                "a": a,
                "b": b,
                "context": context,
                "verdict": verdict(a, b),
                "cause": None,
                "faulty": None,
                "proposed": None,
            }
        )
    return cases


if __name__ == "__main__":
    cases = main()
    lines = ",\n".join(json.dumps(case, ensure_ascii=False) for case in cases)
    Path(__file__).with_name("pairs.json").write_text(f"[\n{lines}\n]\n", encoding="utf-8")
    print(len(cases), "pairs")
