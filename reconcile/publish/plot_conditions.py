"""Limits of one parameter by condition, with uncertainty bars and a modern scale above."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from reconcile.dials import gauges_for
from reconcile.dials.markings import condition_words, tabulated
from reconcile.dials.scale import nice_step
from reconcile.dials.svg import FAINT, INK, PAPER, num, tag, text
from reconcile.errors import MeasureError
from reconcile.measure.display import FORM_WORDS
from reconcile.measure.quantity import Quantity, show
from reconcile.measure.units import UnitRow, equivalents
from reconcile.publish.page_values import (
    amount,
    bound_words,
    fit_to_set,
    form_words,
    time_words,
)
from reconcile.publish.plot_axes import Axis, Plot, clip, path, plot_svg
from reconcile.publish.rows import LimitTable, Row
from reconcile.records import Form

LEFT, RIGHT = 232.0, 640.0
ROW = 25.0
SIGN = {"verified": "●", "unverified": "○", "in doubt": "◐", "contradicted": "×", "rejected": "–"}
_MOST_BY_CONDITION = 8
_MOST_ROWS = 24
_FEWEST_ROWS = 3


def plots_by_condition(table: LimitTable) -> list[Plot]:
    """For each parameter that a gauge shows: its limits by condition, with uncertainty bars."""
    found: dict[str, list[Row]] = {}
    points = tabulated(table.rows)
    for row in table.rows:
        readable = fit_to_set(row) and row.id not in points
        # A printed value with no condition, as in a table of performance, limits nothing.
        says = row.condition is not None or row.bound in ("max", "min", "range")
        if row.lead and row.parameter and readable and says and row.standing != "rejected":
            found.setdefault(row.parameter, []).append(row)
    plots = []
    for parameter in sorted(found, key=lambda p: (-len(found[p]), p)):
        rows = _distinct(_one_scale(found[parameter]))
        bounds = any(row.bound in ("max", "min", "range") for row in rows)
        if gauges_for(parameter) and bounds and len(rows) >= _FEWEST_ROWS:
            plots.append(_by_condition(parameter, rows[:_MOST_ROWS], len(rows)))
    return plots[:_MOST_BY_CONDITION]


def _one_scale(rows: list[Row]) -> list[Row]:
    """Rows that stand on one scale: those of the commonest SI unit and reference form."""
    groups: dict[tuple[str, str, bool], list[Row]] = {}
    for row in rows:
        q = row.figure.quantity
        groups.setdefault((q.row.si_unit, q.form, q.is_difference), []).append(row)
    return max(groups.values(), key=len)


def _distinct(rows: list[Row]) -> list[Row]:
    """One row for each thing said, the verified one of several; those that bound first."""
    found: dict[tuple[object, ...], Row] = {}
    for row in rows:
        key = (row.condition, row.bound, row.time_limit_s, row.figure.quantity.exact_si())
        if key not in found or (row.standing == "verified") > (found[key].standing == "verified"):
            found[key] = row
    return sorted(
        found.values(), key=lambda r: (r.standing != "verified", r.bound in ("nominal", "approx"))
    )


def _point(q: Quantity) -> Fraction:
    nominal, lo, hi = q.exact_si()
    return next(x for x in (hi, nominal, lo) if x is not None)


def _by_condition(parameter: str, rows: Sequence[Row], of: int) -> Plot:
    rows = sorted(rows, key=lambda r: (_point(r.figure.quantity), r.condition or "", r.id))
    # The unit most of the rows are printed in; of equals, the lowest row's.
    units = [row.figure.quantity.modern_row.slug for row in rows]
    q = rows[units.index(max(units, key=units.count))].figure.quantity
    unit = q.modern_row
    points = [_on_axis(row, unit) for row in rows]
    low = min(p[0] for p in points)
    high = max(p[1] for p in points)
    axis = Axis.around(low, high, LEFT, RIGHT)
    top = 46.0
    height = top + ROW * len(rows) + 46
    bottom = top + ROW * len(rows)
    parts = axis.grid(top, bottom)
    parts += axis.labels(bottom + 15, f"{unit.symbol} {form_words(q)}".strip(), bottom + 32)
    parts += _modern_axis(q, unit, axis, top)
    lines = []
    for n, (row, point) in enumerate(zip(rows, points)):
        y = top + ROW * (n + 0.5)
        parts += _condition_row(row, point, axis, y)
        time = time_words(row)
        spread, q = point[3], row.figure.quantity
        said = f"{bound_words(row.bound, q)} {FORM_WORDS[q.form]}".rstrip()
        lines.append(
            f"{condition_words(row)}: {said}{', ' + time if time else ''}"
            + (f", ±{amount(spread)} {unit.symbol} (k = 2)" if spread else "")
            + f"; {row.standing}"
        )
    more = f" The first {len(rows)} of {of} are drawn." if of > len(rows) else ""
    return Plot(
        id="plot-" + parameter.replace(" ", "-"),
        title=f"{parameter}, by condition",
        svg=plot_svg(height, parts, f"{parameter} by condition", lines, parameter),
        caption="◀ at most, ▶ at least, ◆ set at, ◇ about; a bar is a range; whiskers are the "
        "expanded uncertainty of the printed number (k = 2). ● verified, ○ unverified, "
        "◐ in doubt, × contradicted." + more,
        lines=tuple(lines),
    )


def _on_axis(row: Row, unit: UnitRow) -> tuple[float, float, float | None, float]:
    """Lower and upper end, nominal value, and expanded uncertainty, in `unit`."""
    q = row.figure.quantity
    there = q.to(unit.slug)
    numbers = [float(x) for x in (there.nominal, *there.ends) if x is not None]
    u = q.si.standard_uncertainty
    nominal = None if there.nominal is None else float(there.nominal)
    return min(numbers), max(numbers), nominal, 2 * u / float(unit.factor) if u else 0.0


def _condition_row(
    row: Row, point: tuple[float, float, float | None, float], axis: Axis, y: float
) -> list[str]:
    low, high, nominal, spread = point
    filled = row.standing == "verified"
    fill = INK if filled else PAPER
    label = clip(condition_words(row), 28)
    parts = [
        text(LEFT - 12, y + 4, f"{label} {SIGN[row.standing]}", 13, text_anchor="end"),
        text(RIGHT + 12, y + 4, clip(row.figure.as_written, 16), 12, text_anchor="start"),
    ]
    for end in {low, high}:
        if spread:
            a, b = axis.at(end - spread), axis.at(end + spread)
            parts.append(
                path(f"M{num(a)} {num(y)}H{num(b)}M{num(a)} {num(y - 4)}v8M{num(b)} {num(y - 4)}v8")
            )
    if low != high:
        parts.append(
            tag("rect", x=axis.at(low), y=y - 3.5, width=axis.at(high) - axis.at(low), height=7,
                fill=fill, stroke=INK, stroke_width=1.2)
        )  # fmt: skip
        if nominal is None:
            return parts
    x = axis.at(high if nominal is None else nominal)
    shapes = {
        "max": f"M{num(x)} {num(y - 6)}L{num(x - 10)} {num(y)}L{num(x)} {num(y + 6)}Z",
        "min": f"M{num(x)} {num(y - 6)}L{num(x + 10)} {num(y)}L{num(x)} {num(y + 6)}Z",
    }
    diamond = (
        f"M{num(x - 6)} {num(y)}L{num(x)} {num(y - 6)}L{num(x + 6)} {num(y)}L{num(x)} {num(y + 6)}Z"
    )
    shape = shapes.get(row.bound, diamond)
    if row.bound == "approx":
        fill = PAPER
    parts.append(tag("path", d=shape, fill=fill, stroke=INK, stroke_width=1.2))
    return parts


def _modern_axis(q: Quantity, unit: UnitRow, axis: Axis, y: float) -> list[str]:
    """A second axis above, in the unit a modern gauge would show; absolute for boost."""
    form: Form = "absolute" if q.form == "fixed_datum" else q.form
    rows = [u for u in equivalents(q.row.si_unit, form) if (u.slug, form) != (unit.slug, q.form)]
    if not rows or q.is_difference:
        return []
    modern = rows[0]
    pressure = q.row.si_unit == "Pa"

    def convert(x: Fraction) -> Fraction:
        one = Quantity(
            x, unit=unit.ucum, unit_slug=unit.slug, kind=q.kind, form=q.form, datum=q.datum
        )
        there = one.to(modern.slug, form if pressure and form != q.form else None)
        assert there.nominal is not None
        return there.nominal

    try:
        zero = convert(Fraction(0))
        slope = convert(Fraction(1)) - zero
    except MeasureError:
        return []
    low, high = (zero + slope * Fraction(x) for x in (axis.low, axis.high))
    step = nice_step(abs(high - low), 8)
    parts = []
    first = -(-min(low, high) // step)
    value = step * first
    while value <= max(low, high):
        x = axis.at(float((value - zero) / slope))
        parts.append(path(f"M{num(x)} {num(y)}v-6"))
        parts.append(text(x, y - 10, show(value).replace("-", "−"), 12, fill=FAINT))
        value += step
    said = FORM_WORDS[form] if pressure else ""
    words = f"{modern.symbol or modern.name} {said}".strip()
    parts.append(text((LEFT + RIGHT) / 2, y - 28, words, 12.5, fill=FAINT))
    return parts
