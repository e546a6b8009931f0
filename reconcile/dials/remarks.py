"""Remarks on a gauge's marks: what was left out, and limits that one mark stands for."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from reconcile.dials.gauges import Gauge
from reconcile.dials.markings import label_of
from reconcile.dials.placing import LimitRow, Placed
from reconcile.measure.quantity import show


def left_out(mine: Sequence[LimitRow], wanted: Sequence[LimitRow], every: bool) -> list[str]:
    """What is not marked, or is marked though not verified."""
    remarks = []
    kept = {row.id for row in wanted}
    said = {(row.condition, row.bound, row.figure.as_written) for row in wanted}
    out = [
        row
        for row in mine
        if row.id not in kept and (row.condition, row.bound, row.figure.as_written) not in said
    ]
    if out:
        remarks.append(f"Not marked, since not verified: {_listed(out)}.")
    doubtful = [row for row in wanted if row.standing != "verified"]
    if every and doubtful:
        remarks.append(f"MARKED THOUGH NOT VERIFIED: {_listed(doubtful, len(doubtful))}.")
    return remarks


def _listed(rows: Sequence[LimitRow], most: int = 8) -> str:
    """Rows in short, those that need looking at first, each thing once."""
    ordered = sorted(rows, key=lambda r: r.standing == "unverified")
    words = list(
        dict.fromkeys(f"{label_of(r)} ({r.figure.as_written}, {r.standing})" for r in ordered)
    )
    more = f"; and {len(words) - most} more" if len(words) > most else ""
    return "; ".join(words[:most]) + more


def told_apart(placed: Sequence[Placed], gauge: Gauge) -> list[str]:
    """Limits that differ on paper and stand at one mark: the division is too coarse."""
    remarks = []
    at: dict[tuple[str, Fraction], dict[Fraction, Placed]] = {}
    for p in placed:
        for end, value, exact in (("lo", p.lo, p.exact[1]), ("hi", p.hi, p.exact[2])):
            if value is not None and exact is not None:
                at.setdefault((end, value), {})[exact] = p
    for (_, value), limits in at.items():
        # The twin of a limit, printed in another unit, is no other limit.
        if len({label_of(p.row) for p in limits.values()}) > 1:
            what = " and ".join(
                f"{label_of(p.row)} ({p.row.figure.as_written})" for p in limits.values()
            )
            remarks.append(
                f"Divisions of {show(gauge.division)} {gauge.symbol} are too coarse to tell {what} "
                f"apart: both are marked at {show(value)} {gauge.symbol}."
            )
    return remarks
