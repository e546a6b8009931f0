"""Plots of a limit table as plain SVG: what it limits, by condition, along a column, by height.

Every plot carries its numbers in words beside it, so that nobody has to see it to use it;
and a row that is not verified is told by an open sign and its word, never by colour.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from html import escape
from typing import Any

from reconcile.dials import gauges_for
from reconcile.dials.scale import nice_step
from reconcile.dials.svg import FAINT, FONT, INK, PAPER, num, tag, text
from reconcile.errors import MeasureError
from reconcile.measure.quantity import Quantity, show
from reconcile.measure.units import UnitRow, equivalents
from reconcile.publish.document import compact
from reconcile.publish.page_values import (
    amount,
    bound_words,
    condition_words,
    fit_to_set,
    form_words,
    time_words,
)
from reconcile.publish.rows import LimitTable, Row
from reconcile.records import Form

WIDTH = 760.0
LEFT, RIGHT = 232.0, 640.0
ROW = 25.0
SIGN = {"verified": "●", "unverified": "○", "in doubt": "◐", "contradicted": "×", "rejected": "–"}
_GRID = "#d9d3c6"
_MOST_BY_CONDITION = 8
_MOST_ROWS = 24
_FEWEST_ROWS = 3
_HEIGHTS_FT = (0, 5000, 10000, 15000, 20000, 25000, 30000)
_FOOT = 0.3048
_DASHES = ("", "9 3", "3 3", "12 3 3 3", "1.5 3")


@dataclass(frozen=True, slots=True)
class Plot:
    """One plot and what it says in words."""

    id: str
    title: str
    svg: str
    caption: str
    lines: tuple[str, ...]


def make_plots(table: LimitTable) -> tuple[Plot, ...]:
    """All plots of a table, in a fixed order; none where there is nothing to show."""
    plots = [*plots_by_condition(table)]
    height = plot_by_height(table)
    if height is not None:
        plots.append(height)
    return (*plots, *plots_of_columns(table))


# -- by condition -----------------------------------------------------------------------------


def plots_by_condition(table: LimitTable) -> list[Plot]:
    """For each parameter that a gauge shows: its limits by condition, with uncertainty bars."""
    found: dict[str, list[Row]] = {}
    for row in table.rows:
        readable = fit_to_set(row)
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
        spread = point[3]
        lines.append(
            f"{condition_words(row)}: "
            f"{bound_words(row.bound, row.figure.quantity)}{', ' + time if time else ''}"
            + (f", ±{amount(spread)} {unit.symbol} (k = 2)" if spread else "")
            + f"; {row.standing}"
        )
    more = f" The first {len(rows)} of {of} are drawn." if of > len(rows) else ""
    return Plot(
        id="plot-" + parameter.replace(" ", "-"),
        title=f"{parameter}, by condition",
        svg=_svg(height, parts, f"{parameter} by condition", lines, parameter),
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
    label = _clip(condition_words(row), 28)
    parts = [
        text(LEFT - 12, y + 4, f"{label} {SIGN[row.standing]}", 13, text_anchor="end"),
        text(RIGHT + 12, y + 4, _clip(row.figure.as_written, 16), 12, text_anchor="start"),
    ]
    for end in {low, high}:
        if spread:
            a, b = axis.at(end - spread), axis.at(end + spread)
            parts.append(
                _path(
                    f"M{num(a)} {num(y)}H{num(b)}M{num(a)} {num(y - 4)}v8M{num(b)} {num(y - 4)}v8"
                )
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
        parts.append(_path(f"M{num(x)} {num(y)}v-6"))
        parts.append(text(x, y - 10, show(value).replace("-", "−"), 12, fill=FAINT))
        value += step
    said = form.replace("_", " ") if pressure and form != "none" else ""
    words = f"{modern.symbol or modern.name} {said}".strip()
    parts.append(text((LEFT + RIGHT) / 2, y - 28, words, 12.5, fill=FAINT))
    return parts


# -- by height --------------------------------------------------------------------------------


def plot_by_height(table: LimitTable) -> Plot | None:
    """Boost and manifold limits against the air around, by height."""
    from reconcile.measure.atmosphere import isa

    limits: dict[float, list[Row]] = {}
    for row in table.rows:
        q = row.figure.quantity
        named = row.parameter and any(g.form == "absolute" for g in gauges_for(row.parameter))
        if not (row.lead and named and row.bound == "max" and row.standing == "verified"):
            continue
        if q.form in ("fixed_datum", "absolute") and fit_to_set(row):
            try:
                absolute = q.absolute()
            except MeasureError:  # below vacuum: a misreading, and no limit to draw
                continue
            value = absolute.nominal if absolute.nominal is not None else absolute.hi
            if value is not None:
                limits.setdefault(value, []).append(row)
    if not limits:
        return None
    chosen = sorted(limits, reverse=True)[: len(_DASHES)]
    ambient = [(h, float(isa(h * _FOOT).pressure)) for h in range(0, 30001, 1000)]
    ends = [ambient[0][1] / 1000, ambient[-1][1] / 1000, *(value / 1000 for value in chosen)]
    axis = Axis.around(min(ends), max(ends), 90.0, 560.0)
    top, bottom = 46.0, 366.0

    def y(height: float) -> float:
        return bottom - (bottom - top) * height / _HEIGHTS_FT[-1]

    parts = axis.grid(top, bottom)
    parts += axis.labels(bottom + 15, "kPa absolute", bottom + 32)
    for height in _HEIGHTS_FT:
        parts.append(_path(f"M84 {num(y(height))}H560", _GRID))
        parts.append(
            text(80, y(height) + 4, f"{height:,}".replace(",", "\u202f"), 12, text_anchor="end")
        )
    parts.append(text(80, top - 14, "height, ft", 12, text_anchor="end", fill=FAINT))
    trace = "M" + "L".join(f"{num(axis.at(p / 1000))} {num(y(h))}" for h, p in ambient)
    parts.append(
        tag("path", d=trace, fill="none", stroke=FAINT, stroke_width=4, stroke_opacity="0.45")
    )
    at = axis.at(ambient[26][1] / 1000)
    parts.append(text(at + 8, y(26000), "the air around", 12, text_anchor="start", fill=FAINT))
    lines = []
    for n, value in enumerate(chosen):
        x = axis.at(value / 1000)
        parts.append(
            tag("path", d=f"M{num(x)} {num(bottom)}V{num(top)}", stroke=INK, stroke_width=1.8,
                stroke_dasharray=_DASHES[n] or None, fill="none")
        )  # fmt: skip
        row = limits[value][0]
        names = ", ".join(dict.fromkeys(condition_words(r) for r in limits[value]))
        label = _clip(f"{row.figure.quantity}: {names}", 26)
        y_label = top + 12 + 17 * n
        parts.append(_path(f"M{num(x)} {num(y_label - 4)}H572"))
        parts.append(text(576, y_label, label, 12, text_anchor="start"))
        over = [(h, (value - float(isa(h * _FOOT).pressure)) / 1000) for h in (0, 10000, 20000)]
        lines.append(
            f"{row.figure.quantity} ({names}): {value / 1000:.4g} kPa absolute at every height; "
            "over the air around "
            + ", ".join(f"{d:+.3g} kPa at {h:,} ft".replace(",", " ") for h, d in over)
        )
    return Plot(
        id="plot-by-height",
        title="Boost and manifold limits against the air around, by height",
        svg=_svg(bottom + 46, parts, "boost limits by height", lines, "height"),
        caption="Each limit is one absolute pressure at every height. What a gauge open to the air "
        "would show is its distance from the grey curve (standard atmosphere), which grows with "
        "height: such a gauge cannot be marked for it.",
        lines=tuple(lines),
    )


# -- along a column ---------------------------------------------------------------------------


def plots_of_columns(table: LimitTable, most: int = 6) -> list[Plot]:
    """Printed columns that run along another (a height, a weight), doubtful points marked."""
    from reconcile.publish.columns import as_cells
    from reconcile.publish.profile_tables import find_tables

    cells = [
        {**compact(as_cells(row)), "position": n}
        for n, row in enumerate(table.rows, 1)
        if row.figure.place.column and fit_to_set(row)
    ]
    standing = {row.id: row for row in table.rows}
    found = find_tables(cells, {row.id for row in table.rows if row.figure.quantity.is_read})
    plots: list[Plot] = []
    for column in found:
        # The same column of a second witness adds nothing that its findings do not say.
        if len(column["x"]) >= 5 and all(p.title != _column_title(column) for p in plots):
            plots.append(_column(column, [standing[i] for i in column["row_ids"]], len(plots)))
    return plots[:most]


def _column_title(column: dict[str, Any]) -> str:
    head = column["heading"].split("; ")[-1]
    return f"{column['parameter']} by {column['x_parameter']} ({head})"


def _column(column: dict[str, Any], rows: Sequence[Row], number: int) -> Plot:
    q = rows[0].figure.quantity
    unit = q.modern_row
    entry_unit = (equivalents(column["x_unit"], "none") or (None,))[0]
    feet = column["x_unit"] == "m" and column["x_parameter"] == "altitude"
    per, x_name = (_FOOT, "ft") if feet else (1.0, column["x_unit"])
    if not feet and entry_unit is not None:
        per, x_name = float(entry_unit.factor), entry_unit.symbol
    xs = [x / per for x in column["x"]]
    ys = [
        float(p) for p in (r.figure.quantity.to(unit.slug).nominal for r in rows) if p is not None
    ]
    across = Axis.around(min(xs), max(xs), 90.0, 640.0)
    up = Axis.around(min(ys), max(ys), 306.0, 40.0)
    parts = across.grid(40.0, 306.0)
    parts += across.labels(322, f"{column['x_parameter']}, {x_name}", 340)
    for tick in up.ticks:
        y = up.at(float(tick))
        parts.append(_path(f"M84 {num(y)}H640", _GRID))
        parts.append(text(80, y + 4, show(tick).replace("-", "−"), 12, text_anchor="end"))
    parts.append(text(90, 24, f"{column['parameter']}, {unit.symbol}", 12.5, text_anchor="start"))
    trace = "M" + "L".join(f"{num(across.at(x))} {num(up.at(y))}" for x, y in zip(xs, ys))
    parts.append(
        tag("path", d=trace, fill="none", stroke=FAINT, stroke_width=1, stroke_dasharray="4 3")
    )
    lines = []
    for x, value, row in zip(xs, ys, rows):
        cx, cy = across.at(x), up.at(value)
        u = row.figure.si.standard_uncertainty
        if u:
            spread = 2 * u / float(unit.factor)
            a, b = up.at(value - spread), up.at(value + spread)
            ends = "".join(f"M{num(cx - 4)} {num(end)}h8" for end in (a, b))
            parts.append(_path(f"M{num(cx)} {num(a)}V{num(b)}{ends}"))
        suspect = row.standing in ("contradicted", "in doubt")
        if suspect:
            parts.append(
                tag("rect", x=cx - 9, y=cy - 9, width=18, height=18, fill="none", stroke=INK,
                    stroke_width=1.6)
            )  # fmt: skip
            parts.append(_path(f"M{num(cx - 5)} {num(cy - 5)}l10 10m0 -10l-10 10"))
            parts.append(
                text(
                    cx + 13,
                    cy - 13,
                    f"{row.figure.as_written}: {row.standing}",
                    12,
                    text_anchor="start",
                )
            )
        parts.append(
            tag("circle", cx=cx, cy=cy, r=4, fill=INK if row.standing == "verified" else PAPER,
                stroke=INK, stroke_width=1.3)
        )  # fmt: skip
        lines.append(
            f"{x:,.6g} {x_name}: {row.figure.as_written} ({row.standing})".replace(",", " ")
        )
    return Plot(
        id=f"plot-column-{number + 1}",
        title=_column_title(column),
        svg=_svg(352, parts, _column_title(column), lines, f"column-{number + 1}"),
        caption=f"{rows[0].source.title or rows[0].source.name}, page {column['page']}. A boxed "
        "cross is a point that a check contradicts or doubts; filled points are verified, open "
        "ones are not; bars are the expanded uncertainty of the printed number (k = 2). The "
        "broken line only joins what is printed.",
        lines=tuple(lines),
    )


# -- axes -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Axis:
    """A straight axis from values to places."""

    low: float
    high: float
    start: float
    end: float
    ticks: tuple[Fraction, ...]

    @classmethod
    def around(cls, low: float, high: float, start: float, end: float) -> Axis:
        """An axis that holds two values with some room, ending at whole steps."""
        if low == high:
            low, high = low - (abs(low) or 1) / 10, high + (abs(high) or 1) / 10
        step = nice_step(Fraction(high - low).limit_denominator(10**9), 7)
        first, last = int(Fraction(low) // step), -int(Fraction(-high) // step)
        if low - float(first * step) < 0.04 * (high - low):
            first -= 1
        if float(last * step) - high < 0.04 * (high - low):
            last += 1
        if low >= 0 > first:
            first = 0
        ticks = tuple(step * n for n in range(first, last + 1))
        return cls(float(ticks[0]), float(ticks[-1]), start, end, ticks)

    def at(self, value: float) -> float:
        """Place of a value."""
        return self.start + (self.end - self.start) * (value - self.low) / (self.high - self.low)

    def grid(self, top: float, bottom: float) -> list[str]:
        """Rules at the ticks of an upright grid."""
        lines = [
            _path(f"M{num(self.at(float(t)))} {num(top)}V{num(bottom)}", _GRID) for t in self.ticks
        ]
        return [*lines, _path(f"M{num(self.start)} {num(bottom)}H{num(self.end)}")]

    def labels(self, y: float, name: str, name_y: float) -> list[str]:
        """Numbers under the ticks, and the axis's name."""
        parts = [text(self.at(float(t)), y, show(t).replace("-", "−"), 12) for t in self.ticks]
        return [*parts, text((self.start + self.end) / 2, name_y, name, 12.5)]


def _path(d: str, colour: str = INK) -> str:
    return tag("path", d=d, fill="none", stroke=colour, stroke_width=1)


def _clip(words: str, most: int) -> str:
    return words if len(words) <= most else words[: most - 1] + "…"


def _svg(height: float, parts: Sequence[str], title: str, lines: Sequence[str], name: str) -> str:
    prefix = "p-" + "".join(c if c.isalnum() else "-" for c in name)
    return tag(
        "svg",
        tag("title", escape(title), id=f"{prefix}-title")
        + tag("desc", escape("; ".join(lines)), id=f"{prefix}-desc")
        + "".join(parts),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {num(WIDTH)} {num(height)}",
        width=WIDTH,
        height=height,
        role="img",
        aria_labelledby=f"{prefix}-title {prefix}-desc",
        font_family=FONT,
    )
