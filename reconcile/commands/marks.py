"""Marks for a modern gauge from a dossier's limits, and the list of ordinary gauges."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from reconcile.commands.output import Form, note, progress, write_rows
from reconcile.errors import ExitCode, UsageError

if TYPE_CHECKING:
    from reconcile.dials import Gauge, MarkSet

COLUMNS = (
    "number",
    "marking",
    "lo",
    "hi",
    "unit",
    "reference_form",
    "condition",
    "limit",
    "rounded",
    "guard_band",
    "uncertainty",
    "row_ids",
    "why_not",
)
_INDICATION = "U (k=2)"
"""Heading of the indication's expanded uncertainty for people, with its unit in each cell."""
SHOWN = ("number", "marking", "reads", "condition", "limit", "rounded", _INDICATION, "why_not")
GAUGE_COLUMNS = ("slug", "name", "unit", "lo", "hi", "division", "accuracy", "parameters", "source")


def choose_gauge(name: str, calibration: Path | None) -> Gauge:
    """The gauge of that slug, or described in that TOML file, with its calibration."""
    from reconcile.dials import find_gauge, read_calibration, read_gauge

    gauge = read_gauge(name) if name.endswith(".toml") else find_gauge(name)
    if calibration is not None:
        gauge = replace(gauge, calibration=read_calibration(calibration))
    return gauge


def marks(
    folder: Path,
    *,
    gauge: str,
    parameter: str,
    guard_band: bool,
    every: bool,
    set_values: bool,
    calibration: Path | None,
    svg: Path | None,
    diameter_mm: float,
    strip: bool,
    form: Form,
) -> int:
    """Answer with the marks; draw them where asked."""
    from reconcile.dials import dial_svg, make_marks, strip_svg
    from reconcile.dossier import open_dossier
    from reconcile.work import make_table

    chosen = choose_gauge(gauge, calibration)
    table = make_table(open_dossier(folder), progress)
    found = make_marks(
        table.rows,
        chosen,
        parameter,
        guard_band=guard_band,
        every=every,
        set_values=set_values,
    )
    shown = SHOWN if found.refused else SHOWN[:-1]
    write_rows(mark_rows(found), form, columns=COLUMNS, shown=shown, title=found.gauge.name)
    for remark in (*found.remarks, found.caution):
        note(remark)
    if svg is not None:
        digital = strip or chosen.display == "digital"
        drawn = (
            strip_svg(found, width_mm=max(diameter_mm, 60.0) * 1.5)
            if digital
            else dial_svg(found, diameter_mm=diameter_mm)
        )
        try:
            svg.write_text(drawn + "\n", encoding="utf-8", newline="\n")
        except OSError as fault:
            raise UsageError(f"cannot be written ({fault.strerror})", where=str(svg)) from None
        note(f"drawn: {svg}")
    if not found.marks:
        note(f"nothing could be marked: no limit on {parameter} can be shown on this gauge")
    # A gauge without a mark must not look like one with nothing to heed.
    return ExitCode.FINDINGS if found.refused or not found.marks else ExitCode.CLEAN


def mark_rows(found: MarkSet) -> list[dict[str, Any]]:
    """Marks, then what cannot be shown, as flat rows."""
    from reconcile.commands.show import number

    rows: list[dict[str, Any]] = []
    symbol = found.gauge.symbol
    for mark in found.marks:
        rows.append(
            {
                "number": mark.number,
                "marking": mark.marking.slug,
                "lo": number(mark.lo),
                "hi": number(mark.hi),
                "unit": found.gauge.unit.ucum or found.gauge.unit.slug,
                "reference_form": found.gauge.form,
                "condition": mark.label,
                "limit": f"{mark.exact} {symbol}",
                "rounded": mark.rounded,
                "guard_band": f"{float(mark.guard):.3g}",
                "uncertainty": f"{float(mark.uncertainty):.3g}",
                "row_ids": list(mark.row_ids),
                "why_not": None,
                "reads": mark.at(symbol),
                _INDICATION: f"±{float(mark.uncertainty):.2g} {symbol}",
            }
        )
    for refusal in found.refused:
        row = dict.fromkeys((*COLUMNS, "reads", _INDICATION), None) | {
            "condition": refusal.row.condition,
            "limit": refusal.row.figure.as_written,
            "row_ids": [refusal.row.id],
            "why_not": refusal.reason,
        }
        rows.append(row)
    return rows


def gauges(words: str, form: Form) -> int:
    """List the ordinary gauges whose name, unit or parameters hold `words`."""
    from reconcile.dials import gauges as ordinary

    rows = [
        row
        for row in _gauge_rows(ordinary())
        if words.lower() in " ".join(map(str, row.values())).lower()
    ]
    write_rows(
        rows,
        form,
        columns=GAUGE_COLUMNS,
        shown=("slug", "name", "division", "accuracy", "parameters"),
    )
    return ExitCode.CLEAN if rows else ExitCode.FINDINGS


def _gauge_rows(found: Iterable[Gauge]) -> Iterable[dict[str, Any]]:
    from reconcile.commands.show import number

    for gauge in found:
        yield {
            "slug": gauge.slug,
            "name": gauge.name,
            "unit": gauge.unit.ucum or gauge.unit.slug,
            "lo": number(gauge.lo),
            "hi": number(gauge.hi),
            "division": number(gauge.division),
            "accuracy": gauge.accuracy_words,
            "parameters": ", ".join(gauge.parameters),
            "source": gauge.source,
        }
