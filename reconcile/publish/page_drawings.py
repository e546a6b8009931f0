"""The drawings of a report: plots of its limits and dials with its marks, with their words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from reconcile.dials import Gauge, MarkSet, dial_svg, gauges, make_marks, strip_svg
from reconcile.dials.legend import mark_words, refusal_words
from reconcile.errors import ReconcileError
from reconcile.publish.plots import make_plots
from reconcile.publish.rows import LimitTable

DIAMETER_MM = 72.0


@dataclass(frozen=True, slots=True)
class Drawing:
    """One drawing as inline SVG, and what it says for those who do not see it."""

    id: str
    title: str
    svg: str
    caption: str
    lines: tuple[str, ...] = ()
    """Its content in words."""


def draw_plots(table: LimitTable) -> tuple[Drawing, ...]:
    """Plots of the table's limits."""
    return tuple(Drawing(p.id, p.title, p.svg, p.caption, p.lines) for p in make_plots(table))


def draw_dials(table: LimitTable) -> tuple[Drawing, ...]:
    """For each parameter with verified limits: the ordinary gauge that shows most of them."""
    drawings = []
    for number, (parameter, best) in enumerate(_drawable(table), 1):
        prefix = f"dial-{number}"
        if best.gauge.display == "digital":
            svg = strip_svg(best, prefix=prefix, with_legend=False, width_mm=110.0)
        else:
            svg = dial_svg(best, prefix=prefix, with_legend=False, diameter_mm=DIAMETER_MM)
        drawings.append(
            Drawing(
                id=prefix,
                title=parameter,
                svg=svg,
                caption=f"{best.gauge.name}: {best.gauge.accuracy_words}.",
                lines=dial_lines(best),
            )
        )
    return tuple(drawings)


def write_dials(table: LimitTable, folder: Path) -> list[tuple[Path, str]]:
    """Write each parameter's dial as an SVG file of its own, true to size, with its words.

    Parameters
    ----------
    table : LimitTable
    folder : Path
        Made if it is not there.

    Returns
    -------
    written : list of (Path, str)
        Each file and what it holds.
    """
    written = []
    for parameter, marks in _drawable(table):
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{parameter.replace(' ', '-')}.svg"
        svg = strip_svg(marks) if marks.gauge.display == "digital" else dial_svg(marks)
        path.write_text(svg + "\n", encoding="utf-8", newline="\n")
        written.append((path, f"marks for {parameter} on a gauge: {marks.gauge.name}"))
    return written


def _drawable(table: LimitTable) -> Iterator[tuple[str, MarkSet]]:
    """Parameters with marks that bound something, each on its best gauge."""
    for parameter in sorted({row.parameter for row in table.rows if row.parameter}):
        best = best_gauge(table, parameter)
        if best is not None and any(m.marking.slug != "value to set" for m in best.marks):
            yield parameter, best


def best_gauge(table: LimitTable, parameter: str) -> MarkSet | None:
    """Marks on the ordinary gauge that shows most of the verified limits; of equals, the
    first of the table that reads them finest for its span."""
    found: list[tuple[int, int, MarkSet]] = []
    for order, gauge in enumerate(_suited(parameter)):
        try:
            marks = make_marks(table.rows, gauge, parameter)
        except ReconcileError:
            return None
        if marks.marks:
            found.append((len(marks.refused), order, marks))
    return min(found, key=lambda one: one[:2])[2] if found else None


def _suited(parameter: str) -> list[Gauge]:
    return [gauge for gauge in gauges() if parameter in gauge.parameters]


def dial_lines(marks: MarkSet) -> tuple[str, ...]:
    """Each mark, refusal and remark in a sentence."""
    lines = [
        f"{mark.number} {mark.marking.word}, {mark.marking.means}: {mark_words(mark, marks.gauge)}"
        for mark in marks.marks
    ]
    lines += refusal_words(marks)
    return (*lines, *marks.remarks)
