"""Plots of a limit table as plain SVG: what it limits, by condition, along a column, by height.

Every plot carries its numbers in words beside it, so that nobody has to see it to use it;
and a row that is not verified is told by an open sign and its word, never by colour.
"""

from __future__ import annotations

from reconcile.dials import gauges_for
from reconcile.dials.markings import condition_words
from reconcile.dials.svg import FAINT, INK, num, tag, text
from reconcile.errors import MeasureError
from reconcile.publish.page_values import fit_to_set
from reconcile.publish.plot_axes import GRID, Axis, Plot, clip, path, plot_svg
from reconcile.publish.plot_columns import plots_of_columns
from reconcile.publish.plot_conditions import plots_by_condition
from reconcile.publish.rows import LimitTable, Row

_HEIGHTS_FT = (0, 5000, 10000, 15000, 20000, 25000, 30000)
_FOOT = 0.3048
_DASHES = ("", "9 3", "3 3", "12 3 3 3", "1.5 3")


def make_plots(table: LimitTable) -> tuple[Plot, ...]:
    """All plots of a table, in a fixed order; none where there is nothing to show."""
    plots = [*plots_by_condition(table)]
    height = plot_by_height(table)
    if height is not None:
        plots.append(height)
    return (*plots, *plots_of_columns(table))


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
        parts.append(path(f"M84 {num(y(height))}H560", GRID))
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
        label = clip(f"{row.figure.quantity}: {names}", 26)
        y_label = top + 12 + 17 * n
        parts.append(path(f"M{num(x)} {num(y_label - 4)}H572"))
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
        svg=plot_svg(bottom + 46, parts, "boost limits by height", lines, "height"),
        caption="Each limit is one absolute pressure at every height. What a gauge open to the air "
        "would show is its distance from the grey curve (standard atmosphere), which grows with "
        "height: such a gauge cannot be marked for it.",
        lines=tuple(lines),
    )
