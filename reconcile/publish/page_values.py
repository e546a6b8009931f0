"""What the pages for people say of a figure: its meaning, SI and modern equivalents, in words.

The modern equivalents are those of every other format; here they only get their words.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from math import floor, log10
from typing import NamedTuple

from reconcile.dials.markings import duration_words
from reconcile.errors import EmptyRangeError, MeasureError, UnknownUnitError
from reconcile.measure.display import FORM_WORDS, describe
from reconcile.measure.pressure import find_datum
from reconcile.measure.quantity import Quantity, show
from reconcile.measure.rounding import round_down, round_inwards, round_nearest, round_up
from reconcile.measure.units import unit_row
from reconcile.publish.equivalents import equivalents_of, safe_step
from reconcile.publish.rows import Row

BOUND_WORDS = {
    "max": "at most",
    "min": "at least",
    "range": "between",
    "nominal": "set at",
    "approx": "about",
}
ROUNDED_WORDS = {
    "down": "rounded down",
    "up": "rounded up",
    "inwards": "rounded inwards",
    "nearest": "rounded to nearest",
    "exact": "exact",
}


_SMALLEST, _LARGEST = Fraction(1, 100), Fraction(10**6)


class Equivalent(NamedTuple):
    """One line of the table of modern equivalents."""

    value: str
    unit: str
    form: str
    """Reference form in words; blank for what is no pressure."""
    note: str = ""
    is_si: bool = False


def written_value(q: Quantity) -> str:
    """The value read, in the written unit and form: ``+9 lb/in² over the datum``."""
    return describe(q) if q.is_read else "not read"


def unit_symbol(q: Quantity) -> str:
    """Symbol of the unit for people."""
    return q.row.symbol or q.unit


def form_words(q: Quantity) -> str:
    """Reference form in words, with the datum's name where there is one."""
    if q.form == "fixed_datum":
        return f"{FORM_WORDS[q.form]} ({find_datum(q.datum).name})"
    return FORM_WORDS[q.form]


def time_words(row: Row) -> str:
    """Time limit in words; blank where the paper states none."""
    if row.time_unlimited:
        return "without limit of time"
    if row.time_limit_s is None:
        return ""
    return f"for no longer than {duration_words(row.time_limit_s)}"


def bound_words(bound: str, q: Quantity) -> str:
    """The bound with its value: ``at most +9 lb/in²``."""
    if not q.is_read:
        return "could not be read"
    if bound == "range" and q.lo is not None and q.hi is not None:
        signed = q.form == "fixed_datum"
        lo, hi = show(q.lo, signed=signed), show(q.hi, signed=signed)
        return f"between {lo} and {hi} {unit_symbol(q)}".rstrip()
    return f"{BOUND_WORDS[bound]} {q}"


def meaning(row: Row) -> str:
    """What the row limits, in one sentence."""
    q = row.figure.quantity
    parts = [bound_words(row.bound, q)]
    if q.form != "none" and q.is_read:
        parts.append(form_words(q))
    if time := time_words(row):
        parts.append(time)
    text = ", ".join(parts)
    text += "" if text.endswith(".") else "."
    return text[:1].upper() + text[1:]


def plain(x: Fraction, step: Fraction, *, signed: bool = False) -> str:
    """A multiple of a decimal `step` as decimals, thousands apart by a thin gap."""
    places = 0
    while (step * 10**places).denominator != 1 and places < 15:
        places += 1
    scaled = round(x * 10**places)
    whole, rest = divmod(abs(scaled), 10**places)
    text = f"{whole:,}".replace(",", "\u202f")
    if places:
        text += f".{rest:0{places}d}"
    return ("−" if scaled < 0 else "+" if signed and scaled > 0 else "") + text


def amount(u: float) -> str:
    """An uncertainty to two figures, in plain decimals: ``2000``, ``0.0048``."""
    power = floor(log10(u)) if u > 0 else 0
    places = max(0, 1 - power)
    return f"{round(u, 1 - power):.{places}f}"


@cache
def si_symbol(code: str) -> str:
    """How people write an SI unit: ``m³`` for ``m3``."""
    try:
        return unit_row(code).symbol or code.replace("1", "", 1)
    except UnknownUnitError:
        return code


def _thin(number: str) -> str:
    """A number of the other formats with this page's minus and gaps."""
    return re.sub(r"(?<=\d) (?=\d{3})", "\u202f", number.replace("-", "−"))


def si_text(q: Quantity, bound: str) -> str:
    """The figure in SI, in its own reference form, rounded to the safe side; no unit."""
    nominal, lo, hi = q.exact_si()
    half = q.exact_half_width()
    numbers = [x for x in (nominal, lo, hi) if x is not None]
    step = safe_step(None if half is None else 2 * half, max(abs(x) for x in numbers))
    way = {"max": round_down, "min": round_up}.get(bound, round_nearest)
    if lo is not None and hi is not None:
        for one in (step, step / 1000):
            try:
                lo, hi = round_inwards(lo, hi, one)
            except EmptyRangeError:
                continue
            step = one
            break
        else:  # both ends are one number that never ends
            return f"{show(lo)} to {show(hi)}"
        ends = f"{plain(lo, step)} to {plain(hi, step)}"
        return ends if nominal is None else f"{plain(way(nominal, step), step)} ({ends})"
    if nominal is None and lo is not None:
        return plain(round_up(lo, step), step)
    if nominal is None and hi is not None:
        return plain(round_down(hi, step), step)
    assert nominal is not None
    return plain(way(nominal, step), step)


def fit_to_set(row: Row) -> bool:
    """Whether the figure is one sure number that its scale can have."""
    if not row.figure.quantity.is_read or row.figure.status in ("unread", "ambiguous"):
        return False
    try:
        _ = row.figure.si
    except MeasureError:
        return False
    return True


def odds_words(odds: float) -> str:
    """A probability in words that never claim certainty: ``88 %``, ``under 1 %``."""
    if odds < 0.01:
        return "under 1\u202f%"
    return "over 99\u202f%" if odds > 0.99 else f"{100 * odds:.0f}\u202f%"


def agree_within_rounding(a: Quantity, b: Quantity) -> bool:
    """Whether one true value could print as both, each rounded as it is."""
    if a == b:
        return True
    if not (a.is_read and b.is_read) or (a.row.si_unit, a.form) != (b.row.si_unit, b.form):
        return False
    try:
        mine, other = a.exact_si(), b.exact_si()
        room = (a.exact_half_width() or 0) + (b.exact_half_width() or 0)
    except MeasureError:
        return False
    for x, y in zip(mine, other):
        if (x is None) != (y is None):
            return False
        if x is not None and y is not None and abs(x - y) > room:
            return False
    return True


def si_line(row: Row) -> str:
    """The row in SI with its unit and reference form; a dash where it was not surely read."""
    q = row.figure.quantity
    if not fit_to_set(row):
        return "—"
    parts = (si_text(q, row.bound), si_symbol(q.row.si_unit), FORM_WORDS[q.form])
    return " ".join(part for part in parts if part)


def lines_of_equivalents(row: Row) -> tuple[Equivalent, ...]:
    """SI, then the units a modern gauge shows, to the safe side, each with its form.

    A figure that may be another gets no equivalents: no such number is fit to be set.
    """
    q = row.figure.quantity
    if not fit_to_set(row):
        return ()
    si = q.si
    note = f"u = {amount(si.standard_uncertainty)}" if si.standard_uncertainty else ""
    out = [Equivalent(si_text(q, row.bound), si_symbol(si.unit), FORM_WORDS[q.form], note, True)]
    for one in equivalents_of(q, row.bound):
        sizes = [abs(x) for x in (one.nominal, one.lo, one.hi) if x]
        if (one.unit, one.form) == (si.unit, q.form) or any(
            not _SMALLEST <= x < _LARGEST for x in sizes
        ):
            continue  # SI once is enough, and no gauge shows millions
        out.append(
            Equivalent(
                _thin(one.number),
                one.symbol or one.unit,
                FORM_WORDS[one.form],
                ROUNDED_WORDS[one.rounded],
            )
        )
    return tuple(out)
