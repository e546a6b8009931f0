"""What all plots are made of: axes at round steps, rules, and the drawing around them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from html import escape

from reconcile.dials.scale import nice_step
from reconcile.dials.svg import FONT, INK, PAPER, num, tag, text
from reconcile.measure.quantity import show

WIDTH = 760.0
GRID = "#d9d3c6"


@dataclass(frozen=True, slots=True)
class Plot:
    """One plot and what it says in words."""

    id: str
    title: str
    svg: str
    caption: str
    lines: tuple[str, ...]


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
            path(f"M{num(self.at(float(t)))} {num(top)}V{num(bottom)}", GRID) for t in self.ticks
        ]
        return [*lines, path(f"M{num(self.start)} {num(bottom)}H{num(self.end)}")]

    def labels(self, y: float, name: str, name_y: float) -> list[str]:
        """Numbers under the ticks, and the axis's name."""
        parts = [text(self.at(float(t)), y, show(t).replace("-", "−"), 12) for t in self.ticks]
        return [*parts, text((self.start + self.end) / 2, name_y, name, 12.5)]


def path(d: str, colour: str = INK) -> str:
    """A thin rule."""
    return tag("path", d=d, fill="none", stroke=colour, stroke_width=1)


def clip(words: str, most: int) -> str:
    """Words cut to a length, with dots where some are gone."""
    return words if len(words) <= most else words[: most - 1] + "…"


def plot_svg(
    height: float, parts: Sequence[str], title: str, lines: Sequence[str], name: str
) -> str:
    prefix = "p-" + "".join(c if c.isalnum() else "-" for c in name)
    return tag(
        "svg",
        tag("title", escape(title), id=f"{prefix}-title")
        + tag("desc", escape("; ".join(lines)), id=f"{prefix}-desc")
        + tag("rect", width="100%", height="100%", fill=PAPER)
        + "".join(parts),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {num(WIDTH)} {num(height)}",
        width=WIDTH,
        height=height,
        role="img",
        aria_labelledby=f"{prefix}-title {prefix}-desc",
        font_family=FONT,
    )
