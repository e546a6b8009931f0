"""The drawings of a report: plots of its limits and dials with its marks, with their words."""

from __future__ import annotations

from dataclasses import dataclass

from reconcile.publish.rows import LimitTable


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
    return ()


def draw_dials(table: LimitTable) -> tuple[Drawing, ...]:
    """Dials of ordinary gauges with the table's verified marks."""
    return ()
