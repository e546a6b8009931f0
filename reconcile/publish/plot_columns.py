"""Printed columns of performance along another column, with the points a check doubts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reconcile.dials.svg import FAINT, INK, PAPER, num, tag, text
from reconcile.measure.quantity import show
from reconcile.measure.units import equivalents
from reconcile.publish.document import compact
from reconcile.publish.page_values import fit_to_set
from reconcile.publish.plot_axes import GRID, Axis, Plot, path, plot_svg
from reconcile.publish.rows import LimitTable, Row

_FOOT = 0.3048


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
        parts.append(path(f"M84 {num(y)}H640", GRID))
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
            parts.append(path(f"M{num(cx)} {num(a)}V{num(b)}{ends}"))
        suspect = row.standing in ("contradicted", "in doubt")
        if suspect:
            parts.append(
                tag("rect", x=cx - 9, y=cy - 9, width=18, height=18, fill="none", stroke=INK,
                    stroke_width=1.6)
            )  # fmt: skip
            parts.append(path(f"M{num(cx - 5)} {num(cy - 5)}l10 10m0 -10l-10 10"))
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
        svg=plot_svg(352, parts, _column_title(column), lines, f"column-{number + 1}"),
        caption=f"{rows[0].source.title or rows[0].source.name}, page {column['page']}. A boxed "
        "cross is a point that a check contradicts or doubts; filled points are verified, open "
        "ones are not; bars are the expanded uncertainty of the printed number (k = 2). The "
        "broken line only joins what is printed.",
        lines=tuple(lines),
    )
