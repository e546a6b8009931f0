"""A figure's measure shown to a person: equivalents, rival definitions, budget.

Everything here gives plain rows or lines no wider than a screen of 80 columns; it computes
nothing that the rest of the room does not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import isinf
from typing import TYPE_CHECKING

from reconcile.errors import AmbientNeededError, MeasureError, ReferenceFormError
from reconcile.measure.ambient import Ambient, ambient_at
from reconcile.measure.datums import Datum, datums, find_datum
from reconcile.measure.quantity import Quantity, show
from reconcile.measure.rounding import decimal_step, gum_round, round_nearest
from reconcile.measure.units import UnitRow, equivalents, period_definitions, unit_row
from reconcile.records import Form

if TYPE_CHECKING:
    from reconcile.measure.budget import Budget

FORM_WORDS: dict[Form, str] = {
    "absolute": "absolute",
    "gauge": "gauge",
    "fixed_datum": "over the datum",
    "below_ambient": "below ambient",
    "differential": "differential",
    "unknown": "zero not known",
    "none": "",
}


_BOTH: tuple[Form, Form] = ("absolute", "gauge")


@dataclass(frozen=True, slots=True)
class Equivalent:
    """A figure in a unit of today, to the places it is known to."""

    quantity: Quantity
    text: str
    """Number, symbol and form, ready to show; rounded to the nearest, so not a limit."""


def equivalents_of(
    quantity: Quantity, height_m: float | None = None, *, ambient: Ambient | None = None
) -> list[Equivalent]:
    """What modern gauges and books would show for a figure, most useful first.

    Parameters
    ----------
    quantity : Quantity
    height_m, ambient
        The air around, to give gauge and absolute equivalents of each other; without it
        the forms that need it are left out.

    Returns
    -------
    rows : list of Equivalent
    """
    row = quantity.row
    forms: list[Form] = [quantity.form]
    if row.si_unit == "Pa":
        forms += [f for f in _BOTH if f != quantity.form]
    found = []
    for form in forms:
        for unit in equivalents(row.si_unit, form):
            if unit.slug == quantity.modern_row.slug and form == quantity.form:
                continue
            try:
                there = quantity.to(unit.slug, form, height_m, ambient=ambient)
            except (AmbientNeededError, ReferenceFormError):
                break
            found.append(Equivalent(there, describe(there)))
    return found


def describe(quantity: Quantity) -> str:
    """A quantity in words: numbers to the places known, symbol, reference form."""
    row = quantity.row
    step = None
    if quantity.resolution:
        # A tenth of the printed step reads back to the same number, without a tail of digits.
        step = decimal_step(quantity.resolution / 10)
    signed = quantity.form == "fixed_datum"

    def number(x: Fraction) -> str:
        return show(x if step is None else round_nearest(x, step), signed=signed)

    lo, hi = quantity.lo, quantity.hi
    if quantity.nominal is not None:
        text = number(quantity.nominal)
        if quantity.plus_minus is not None:
            text += f" ± {number(quantity.plus_minus).lstrip('+')}"
        elif lo is not None and hi is not None:
            text += f" ({number(lo)} to {number(hi)})"
    elif lo is not None and hi is not None:
        text = f"{number(lo)} to {number(hi)}"
    elif lo is not None or hi is not None:
        text = f"up to {number(hi)}" if hi is not None else f"{number(lo or Fraction(0))} or more"
    else:
        return "not read"
    symbol = row.symbol + (" difference" if quantity.is_difference else "")
    return " ".join(part for part in (text, symbol, FORM_WORDS[quantity.form]) if part)


@dataclass(frozen=True, slots=True)
class RivalDatum:
    """A boost figure by one of the rival datums."""

    datum: Datum
    absolute: float
    """[Pa]"""
    difference: float
    """Against the figure's own datum [Pa]."""
    is_own: bool


def rival_datums(quantity: Quantity) -> list[RivalDatum]:
    """Absolute pressure of a fixed-datum figure by every datum in the table.

    Raises
    ------
    ReferenceFormError
        The figure does not count from a fixed datum.
    """
    if quantity.form != "fixed_datum":
        raise ReferenceFormError(f"{quantity} does not count from a fixed datum")
    own = find_datum(quantity.datum)
    nominal, lo, hi = quantity.exact_si()
    value = next((x for x in (nominal, hi, lo) if x is not None), None)
    if value is None:
        raise MeasureError("the figure was not read")
    return [
        RivalDatum(d, float(d.pressure + value), float(d.pressure - own.pressure), d == own)
        for d in datums()
    ]


def definition_effect(quantity: Quantity) -> str:
    """What the definition of the figure's year changes, in one sentence; "" if nothing.

    Examples
    --------
    >>> q = Quantity(Fraction(400), unit="[mi_i]/h", year=1943, country="GB",
    ...              resolution=Fraction(1))
    >>> definition_effect(q)
    'by the definition of 1943 (yard, UK 1922-59): 0.0007 in 400; below the last printed digit'
    """
    row, modern = quantity.row, quantity.modern_row
    if row.factor == modern.factor or row.scale != "linear":
        return ""
    lo, hi = quantity.ends
    value = next((x for x in (quantity.nominal, hi, lo) if x is not None), None)
    if not value:
        return ""
    change = abs(value * (row.factor / modern.factor - 1))
    shown = _one_digit(change)
    by = row.definition.partition(" by the ")[2] or row.name
    text = f"by the definition of {quantity.year} ({by}): {shown} in {show(abs(value))}"
    if quantity.resolution is None:
        return text
    if change <= quantity.resolution / 2:
        return text + "; below the last printed digit"
    return text + "; above the last printed digit, so the definition matters"


def rival_definitions(quantity: Quantity) -> list[tuple[UnitRow, float]]:
    """Other definitions the unit has had, with the SI value each would give the figure."""
    lo, hi = quantity.ends
    value = next((x for x in (quantity.nominal, hi, lo) if x is not None), None)
    if value is None:
        return []
    slug = quantity.modern_row.slug
    rows = [unit_row(slug), *period_definitions(slug)]
    return [
        (r, float(r.to_si(value, difference=quantity.is_difference)))
        for r in rows
        if r.factor != quantity.row.factor
    ]


def _one_digit(x: Fraction) -> str:
    return show(round_nearest(x, _power_below(x)))


def _power_below(x: Fraction) -> Fraction:
    step = Fraction(1)
    while step > x:
        step /= 10
    while step * 10 <= x:
        step *= 10
    return step


@dataclass(frozen=True, slots=True)
class HeightRow:
    """One printed reading at one height."""

    height_m: float
    ambient: float
    """[Pa]"""
    absolute: float
    """[Pa]"""
    gauge: float
    """[Pa]; negative below the air around."""


def by_height(quantity: Quantity, heights_m: Sequence[float]) -> list[HeightRow]:
    """What one printed pressure means at several heights in the standard atmosphere.

    Parameters
    ----------
    quantity : Quantity
        A pressure; its nominal value, else its upper end, else its lower.
    heights_m : sequence of float, [m]
        Geopotential heights.

    Raises
    ------
    ReferenceFormError
        Not a pressure, or of a form that has no zero.
    OutOfRangeError
        A height outside the atmosphere, or a pressure below vacuum there.
    """
    rows = []
    for height in heights_m:
        air = ambient_at(height)
        absolute, gauge = (
            next(x for x in quantity.exact_in_form(form, ambient=air)[0] if x is not None)
            for form in _BOTH
        )
        rows.append(HeightRow(float(height), float(air.pressure), float(absolute), float(gauge)))
    return rows


def budget_lines(
    budget: Budget, width: int = 80, *, ends: Sequence[float | None] = ()
) -> list[str]:
    """The budget as lines of text, largest share first.

    Parameters
    ----------
    budget : Budget
    width : int
        Columns to keep to; long names are cut with an ellipsis.
    ends : sequence of float
        Both ends of a range, in the budget's unit: the uncertainty holds at each, and the
        sum then names both in place of the budget's one value.

    Returns
    -------
    lines : list of str
        A heading, a line for each input, and the sum. An input of which nothing is known
        shows a dash, and what the paper itself allows is marked "apart".
    """
    head = ("input", "evaluation", "distribution", "u", "sensitivity", "share")
    body = []
    for row in budget.rows():
        share = row["share"]
        body.append(
            (
                row["name"],
                row["label"],
                row["distribution"],
                "-" if row["u"] is None else f"{row['u']:.3g}",
                f"{row['sensitivity']:g}",
                "apart" if row["label"] == "printed tolerance" else _share_text(share),
            )
        )
    sizes = [max(len(line[i]) for line in (head, *body)) for i in range(len(head))]
    sizes[0] = max(8, min(sizes[0], width - sum(sizes[1:]) - 2 * (len(head) - 1)))
    lines = [f"{budget.name} = {budget.value:.8g} {budget.unit}".rstrip()[:width]]
    for cells in (head, *body):
        name = cells[0] if len(cells[0]) <= sizes[0] else cells[0][: sizes[0] - 1] + "…"
        words = [name, cells[1], cells[2]]
        shown = [w.ljust(n) for w, n in zip(words, sizes)]
        shown += [c.rjust(n) for c, n in zip(cells[3:], sizes[3:])]
        lines.append("  ".join(shown).rstrip())
    u = budget.standard_uncertainty
    if u is None:
        lines.append("standard uncertainty: not known")
    elif u == 0.0:
        lines.append("standard uncertainty: 0")
    else:
        value, rounded = gum_round(budget.value, u)
        unit = f" {budget.unit}" if budget.unit else ""
        known = [end for end in ends if end is not None]
        if len(known) > 1:
            values = " and ".join(gum_round(end, u)[0] for end in known)
            line = f"standard uncertainty: {rounded}{unit} at each end; ends {values}{unit}"
        else:
            line = f"standard uncertainty: {rounded}{unit}; value {value}{unit}"
        degrees = budget.degrees
        if not isinf(degrees):
            line += f"; {degrees:.3g} degrees of freedom"
        lines.append(line)
    return lines


def _share_text(share: float | None) -> str:
    if share is None:
        return "-"
    if share and share < 0.001:
        return "<0.1 %"
    return f"{100 * share:.1f} %"
