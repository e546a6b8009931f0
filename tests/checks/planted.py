"""Clean limit tables of invented machines, and known faults planted in them, seeded.

The tables are records, as the readers would have made them: what is measured here is the
checking, not the reading. Values follow the physics (twins are converted and rounded, tanks
add up, true airspeed follows from indicated), so a clean table is clean by construction.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from reconcile.checks import check
from reconcile.checks.airspeed import expected_speed
from reconcile.measure.atmosphere import isa
from reconcile.measure.quantity import Quantity
from reconcile.records import Figure, Finding, Limit, Place, Source, Witness

PSI, INHG, AT = 6894.757293168, 3386.388640341, 98066.5
WRITTEN = {
    "[psi]": "lb./sq.in.",
    "[in_i'Hg]": "in.Hg",
    "kgf/cm2": "kg./sq.cm.",
    "{rev}/min": "r.p.m.",
    "Cel": "°C.",
    "[degF]": "°F.",
    "[gal_br]": "gallons",
    "L": "litres",
    "[mi_i]/h": "m.p.h.",
    "[kn_i]": "knots",
    "[ft_i]": "ft.",
    "km/h": "km/h",
    "[HP]": "b.h.p.",
}
KIND = {
    "[psi]": "pressure", "[in_i'Hg]": "pressure", "kgf/cm2": "pressure",
    "{rev}/min": "rotational_speed", "Cel": "temperature", "[degF]": "temperature",
    "[gal_br]": "volume", "L": "volume", "[mi_i]/h": "speed", "[kn_i]": "speed",
    "[ft_i]": "altitude", "km/h": "speed", "[HP]": "power",
}  # fmt: skip


@dataclass(frozen=True)
class Cell:
    """One figure to be printed, with what it limits."""

    digits: str
    unit: str
    form: str
    parameter: str
    condition: str | None
    bound: str
    row: tuple[str, ...] = ()
    column: tuple[str, ...] = ()
    twin_of: int | None = None
    time_s: int | None = None
    unit_word: str = ""
    """How the unit is printed, where not as usual."""


def _digits(value: float, decimals: int) -> str:
    return f"{round(value, decimals):.{max(0, decimals)}f}"


def machine(rng: random.Random) -> list[Cell]:
    """The limits of one invented machine, 50 to 60 figures."""
    cells: list[Cell] = []

    def add(digits, unit, form, parameter, condition=None, bound="max", **more):
        cells.append(Cell(str(digits), unit, form, parameter, condition, bound, **more))
        return len(cells) - 1

    def twin(digits, unit, form):
        one = cells[-1]
        cells.append(replace(one, digits=digits, unit=unit, form=form, twin_of=len(cells) - 1))

    boosts = sorted(rng.sample([-1, 0, 2, 4, 6, 7, 9, 12, 14], 4))
    speeds = sorted(rng.sample([2100, 2250, 2400, 2600, 2650, 2850, 3000], 4))
    ratings = ("economical cruise", "maximum continuous", "climb", "take-off")
    for rating, boost, speed, minutes in zip(ratings, boosts, speeds, (None, None, 60, 5)):
        time_s = minutes and minutes * 60
        add(boost, "[psi]", "fixed_datum", "boost", rating, time_s=time_s)
        twin(_digits((101325 + boost * PSI) / INHG, 1), "[in_i'Hg]", "absolute")
        add(speed, "{rev}/min", "none", "engine speed", rating, time_s=time_s)
    for parameter, low, high in (
        ("oil inlet temperature", (15, 40), (85, 90, 95)),
        ("coolant outlet temperature", (60, 70), (105, 115, 125, 135)),
    ):
        for bound, choices in (("min", low), ("max", high)):
            value = rng.choice(choices)
            add(value, "Cel", "none", parameter, None, bound)
            twin(_digits(value * 1.8 + 32, 0), "[degF]", "none")
    normal = rng.choice([70, 75, 80, 90])
    for bound, value in (("nominal", normal), ("min", normal - rng.choice([15, 20, 25, 30]))):
        add(value, "[psi]", "gauge", "oil pressure", "cruise", bound)
        twin(_digits(value * PSI / AT, 1), "kgf/cm2", "gauge")
    add(rng.choice([8, 12, 15, 16]), "[psi]", "gauge", "fuel pressure", None, "nominal")
    add(rng.choice([800, 1200, 1500, 2500]), "[psi]", "gauge", "hydraulic pressure", None, "max")
    tanks = [rng.choice([24, 37, 52, 85, 98, 114, 150]) for _ in range(4)]
    for name, size in zip(("inner", "outer", "fuselage", "nose"), tanks):
        add(size, "[gal_br]", "none", "fuel capacity", name, "nominal")
    add(sum(tanks), "[gal_br]", "none", "fuel capacity", "total", "nominal")
    for name in ("flaps down", "undercarriage down", "dive"):
        speed = rng.choice([120, 140, 160, 180, 220]) + (200 if name == "dive" else 0)
        add(speed, "[mi_i]/h", "none", "airspeed", name)
        twin(_digits(speed * 1.609344 / 1.852, 0), "[kn_i]", "none")
    base = rng.choice([180, 200, 220])
    for step in range(6):
        feet = 5000 * step
        row, air = (f"{feet}",), isa(feet * 0.3048)
        indicated = base - 7 * step
        true = expected_speed(indicated * 0.44704, "indicated", "true", feet * 0.3048) / 0.44704
        table = {"row": row, "bound": "nominal"}
        add(feet, "[ft_i]", "none", "altitude", None, column=("Height",), **table)
        add(indicated, "[mi_i]/h", "none", "airspeed", "level", column=("I.A.S.",), **table)
        add(_digits(true, 0), "[mi_i]/h", "none", "airspeed", "level", column=("T.A.S.",), **table)
        add(
            _digits(air.pressure / INHG, 2),
            "[in_i'Hg]",
            "absolute",
            "barometric pressure",
            None,
            column=("Barometer",),
            **table,
        )
    return cells


def print_witness(cells: list[Cell], name: str, role: str = "manual") -> Witness:
    """The cells as a witness: figures with places, limits over them."""
    figures: dict[str, Figure] = {}
    limits: list[Limit] = []
    at, line = 0, 0
    last_row: tuple[str, ...] = ()
    for number, cell in enumerate(cells):
        written = f"{cell.digits} {cell.unit_word or WRITTEN[cell.unit]}"
        if not cell.row or cell.row != last_row:
            line += cell.twin_of is None
        last_row = cell.row
        at += 2 if cell.twin_of is not None else 40
        span = (at, at + len(written))
        at = span[1]
        decimals = len(cell.digits.replace(",", "").partition(".")[2])
        quantity = Quantity(
            nominal=Fraction(cell.digits.replace(",", "")),
            unit=cell.unit,
            kind=KIND[cell.unit],
            form=cell.form,
            resolution=Fraction(1, 10**decimals),
        )
        place = Place(name, 1, line, span, row=cell.row, column=cell.column)
        figure = Figure(f"{name}-f{number}", span, written, quantity, place=place)
        figures[figure.id] = figure
        if cell.twin_of is not None and limits:
            limits[-1] = replace(limits[-1], figure_ids=(*limits[-1].figure_ids, figure.id))
            continue
        limits.append(
            Limit(
                f"{name}-l{number}",
                cell.parameter,
                cell.condition,
                cell.bound,
                (figure.id,),
                time_limit_s=None if cell.time_s is None else Fraction(cell.time_s),
            )
        )
    source = Source(name, f"{name}.txt", name, role=role)
    return Witness(source, figures, tuple(limits))


SEEN_AS = {"0": "68", "1": "74", "2": "7", "3": "85", "4": "91", "5": "638", "6": "850",
           "7": "12", "8": "3650", "9": "47"}  # fmt: skip


def spoil(rng: random.Random, cell: Cell, cause: str) -> Cell | None:
    """`cell` with one fault of a cause, or None where it cannot have it."""
    digits = cell.digits
    if cause == "misread_digit":
        spots = [i for i, c in enumerate(digits) if c.isdigit()]
        at = rng.choice(spots)
        new = digits[:at] + rng.choice(SEEN_AS[digits[at]]) + digits[at + 1 :]
    elif cause == "transposed_digits":
        pairs = [
            i
            for i in range(len(digits) - 1)
            if digits[i : i + 2].isdigit() and digits[i] != digits[i + 1]
        ]
        if not pairs:
            return None
        at = rng.choice(pairs)
        new = digits[:at] + digits[at + 1] + digits[at] + digits[at + 2 :]
    elif cause == "lost_decimal_point":
        if "." not in digits:
            return None
        new = digits.replace(".", "").lstrip("0")
    elif cause == "lost_sign":
        if not digits.startswith("-"):
            return None
        new = digits[1:]
    elif cause == "degree_mark_as_zero":
        if KIND[cell.unit] != "temperature":
            return None
        word = "C." if cell.unit == "Cel" else "F."
        return replace(cell, digits=digits + "0", unit_word=word)
    elif cause == "thousands_point_as_decimal":
        if len(digits) != 4 or not digits.isdigit():
            return None
        new = f"{digits[0]}.{digits[1:]}"
    elif cause == "scale_multiplier":
        if cell.unit != "{rev}/min" or not digits.endswith("00"):
            return None
        new = digits[:-2]
    else:
        return _relabelled(rng, cell, cause)
    bare = new.lstrip("-")
    if new == digits or (bare.startswith("0") and len(bare) > 1 and bare[1] != "."):
        return None
    return replace(cell, digits=new)


SWAPS = {
    "statute_nautical": {"[mi_i]/h": "[kn_i]", "[kn_i]": "[mi_i]/h"},
    "fahrenheit_celsius": {"Cel": "[degF]", "[degF]": "Cel"},
    "wrong_unit_label": {"[psi]": "kgf/cm2", "kgf/cm2": "[psi]", "[mi_i]/h": "km/h"},
    "imperial_us_gallon": {"[gal_br]": "[gal_us]"},
}
FORMS = {"gauge_absolute": {"gauge": "absolute", "absolute": "gauge", "fixed_datum": "absolute"}}
CAUSES = ("misread_digit", "transposed_digits", "lost_decimal_point", "lost_sign",
          "degree_mark_as_zero", "thousands_point_as_decimal", "scale_multiplier",
          "statute_nautical", "fahrenheit_celsius", "wrong_unit_label", "imperial_us_gallon",
          "gauge_absolute")  # fmt: skip
WRITTEN["[gal_us]"], KIND["[gal_us]"] = "U.S. gallons", "volume"


def _relabelled(rng: random.Random, cell: Cell, cause: str) -> Cell | None:
    if cause in SWAPS:
        unit = SWAPS[cause].get(cell.unit)
        return replace(cell, unit=unit) if unit else None
    form = FORMS[cause].get(cell.form)
    return replace(cell, form=form) if form and KIND[cell.unit] == "pressure" else None


@dataclass(frozen=True)
class Plant:
    """A spoilt dossier and what was done to it."""

    witnesses: tuple[Witness, ...]
    cause: str
    figure_id: str
    true_digits: str
    true_unit: str
    kind_of_figure: str


def plants(count: int, seed: int, copies: int) -> Iterator[Plant]:
    """`count` faults, spread evenly over the causes, one in the last witness of a dossier."""
    rng = random.Random(seed)
    done = 0
    while done < count:
        causes = (*CAUSES, "column_slip") if copies else CAUSES
        cause = causes[done % len(causes)]
        cells = machine(rng)
        if cause == "column_slip":
            done += 1
            yield _slipped(rng, cells, copies)
            continue
        at = rng.randrange(len(cells))
        spoilt = spoil(rng, cells[at], cause)
        if spoilt is None:
            continue
        wrong = [*cells[:at], spoilt, *cells[at + 1 :]]
        witnesses = [print_witness(cells, f"w{n}") for n in range(copies)]
        name = f"w{copies}"
        witnesses.append(print_witness(wrong, name, "transcription" if copies else "manual"))
        done += 1
        yield Plant(
            tuple(witnesses),
            cause,
            f"{name}-f{at}",
            cells[at].digits,
            cells[at].unit,
            cells[at].parameter,
        )


def _slipped(rng: random.Random, cells: list[Cell], copies: int) -> Plant:
    """A column of the copy repeats a row and runs one off from there."""
    heading = rng.choice(["T.A.S.", "I.A.S.", "Barometer", "Height"])
    rows = [n for n, cell in enumerate(cells) if cell.column == (heading,)]
    first = rng.randrange(1, len(rows) - 2)
    wrong = list(cells)
    for above, here in zip(rows[first - 1 :], rows[first:]):
        wrong[here] = replace(cells[here], digits=cells[above].digits)
    name = f"w{copies}"
    witnesses = [print_witness(cells, f"w{n}") for n in range(copies)]
    witnesses.append(print_witness(wrong, name, "transcription"))
    at = rows[first]
    return Plant(tuple(witnesses), "column_slip", f"{name}-f{at}", cells[at].digits,
                 cells[at].unit, cells[at].parameter)  # fmt: skip


def bad(finding: Finding) -> bool:
    """Whether a finding raises an alarm."""
    return finding.verdict in ("contradicts", "in doubt")


def weigh_plants(count: int, seed: int, copies: int) -> tuple[dict[str, Counter], list]:
    """Found, missed, named right and value right, by cause; and the misses."""
    table: dict[str, Counter] = {}
    misses = []
    for plant in plants(count, seed, copies):
        row = table.setdefault(plant.cause, Counter())
        row["planted"] += 1
        findings = [f for f in check(plant.witnesses) if bad(f) and plant.figure_id in f.figure_ids]
        if not findings:
            row["missed"] += 1
            misses.append(plant)
            continue
        row["found"] += 1
        best = max(
            (
                e
                for f in findings
                for e in f.emendations
                if e.proposed is not None and e.proposed.id == plant.figure_id
            ),
            key=lambda e: e.odds,
            default=None,
        )
        if best is not None:
            row["named"] += best.cause == plant.cause
            row["valued"] += (
                best.proposed.nominal == Fraction(plant.true_digits)
                and best.proposed.unit == plant.true_unit
            )
    return table, misses


def false_alarms(limits: int, seed: int, copies: int) -> tuple[int, int, list[Finding]]:
    """Alarms on clean tables: number, limits checked, and the alarms."""
    rng = random.Random(seed)
    done, alarms = 0, []
    while done < limits:
        cells = machine(rng)
        witnesses = [print_witness(cells, f"w{n}") for n in range(copies + 1)]
        done += sum(len(w.limits) for w in witnesses)
        alarms += [f for f in check(witnesses) if bad(f)]
    return len(alarms), done, alarms
