"""What height does to a gauge's reading, said where it is more than the gauge's own error."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from reconcile.dials.gauges import Gauge
from reconcile.measure.atmosphere import isa
from reconcile.measure.quantity import Quantity

HEIGHTS_FT = (5000, 10000, 20000, 30000)
_FOOT = 0.3048
_SEALED_AT = 101325.0
"""Air a sealed sensor is taken to hold [Pa]; common practice, no source."""


def sealed_error(gauge: Gauge, height_ft: float) -> float:
    """By how much a sealed gauge reads below the true gauge pressure at a height.

    Parameters
    ----------
    gauge : Gauge
    height_ft : float, [ft]
        Geopotential, in the standard atmosphere.

    Returns
    -------
    error : float, in the gauge's unit
        Reading less truth; negative above sea level.
    """
    ambient = float(isa(height_ft * _FOOT).pressure)
    return (ambient - _SEALED_AT) / float(gauge.unit.factor)


def height_remarks(gauge: Gauge, parameter: str, quantities: Sequence[Quantity]) -> list[str]:
    """Sentences on height for a gauge of this kind; none for what is no pressure."""
    if gauge.unit.si_unit != "Pa":
        return []
    if gauge.form in ("absolute", "fixed_datum"):
        still = "the day's barometer" if gauge.form == "absolute" else (
            "the day's barometer less the datum: about nought at sea level, below it higher up"
        )  # fmt: skip
        text = f"The marks hold at every height. With the engine stopped the gauge shows {still}."
        return [text]
    if gauge.vent != "sealed":
        return [
            f"The marks hold at every height as long as the gauge feels the same air that "
            f"{parameter} is counted from; in a cabin kept at pressure it does not."
        ]
    parts = [
        f"{sealed_error(gauge, feet):+.2g} {gauge.symbol} at {feet:,} ft".replace(",", " ")
        for feet in HEIGHTS_FT
    ]
    worst = abs(sealed_error(gauge, HEIGHTS_FT[-1]))
    allowed = float(gauge.limit_of_error(_largest(quantities, gauge)))
    matters = "more" if worst > allowed else "less"
    return [
        f"This gauge is sealed and counts from the air of its making (taken as 101 325 Pa), not "
        f"from the air around: with height it reads low by {', '.join(parts).replace('-', '')}, "
        f"{matters} than its own permissible error of {allowed:.2g} {gauge.symbol}. A minimum "
        "read there is safe, a maximum is not."
    ]


def _largest(quantities: Sequence[Quantity], gauge: Gauge) -> Fraction:
    numbers = [
        abs(x)
        for q in quantities
        for x in (q.nominal, *q.ends)
        if x is not None and q.unit == gauge.unit.ucum
    ]
    return max(numbers, default=gauge.hi)
