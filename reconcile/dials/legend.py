"""What the numbers on a drawn gauge mean: the words that carry each mark without its colour."""

from __future__ import annotations

from reconcile.dials.gauges import Gauge
from reconcile.dials.marks import Mark, MarkSet
from reconcile.dials.svg import COLOURS, FAINT, INK, PAPER, tag, text, triangle, wrap
from reconcile.measure.display import FORM_WORDS
from reconcile.measure.quantity import show

_SIZE = 2.5
_LEADING = 3.3
_RULER = 20.0


def mark_words(mark: Mark, gauge: Gauge) -> str:
    """One mark in a sentence: place, condition, limit, rounding, uncertainty, rows."""
    symbol = f"{gauge.symbol} {FORM_WORDS[gauge.form]}".rstrip()
    words = f"{mark.at(symbol)}: {mark.label}. "
    words += f"Limit {mark.exact} {symbol}" + (
        ", exact" if mark.rounded == "exact" else f", rounded {mark.rounded}"
    )
    if mark.guard:
        words += f" after a guard band of {float(mark.guard):.2g} {gauge.symbol}"
    return (
        words
        + f"; indication ±{float(mark.uncertainty):.2g} {gauge.symbol} (k = 2). "
        + f"Row {', '.join(mark.row_ids)}."
    )


def refusal_words(marks: MarkSet) -> list[str]:
    """What cannot be shown, each reason once with the figures it holds for and their rows."""
    return [
        f"Cannot be shown: {', '.join(dict.fromkeys(row.figure.as_written for row in rows))}: "
        f"{reason}. Row {', '.join(row.id for row in rows)}."
        for reason, rows in marks.refusals()
    ]


def legend(marks: MarkSet, width: float, prefix: str) -> tuple[str, float]:
    """The lines under a drawing and their height [mm].

    Parameters
    ----------
    marks : MarkSet
    width : float, [mm]
    prefix : str
        As of the drawing.
    """
    parts: list[str] = []
    y = 3.0
    for mark in marks.marks:
        parts += _swatch(mark, y, prefix)
        head = f"{mark.marking.word}: "
        lines = wrap(head + mark_words(mark, marks.gauge), width - 17, _SIZE)
        for line in lines:
            parts.append(text(15, y, line, _SIZE, text_anchor="start"))
            y += _LEADING
        y += 0.5
    for words in refusal_words(marks):
        parts, y = _lines(parts, words, y, width)
    for remark in marks.remarks:
        parts, y = _lines(parts, remark, y, width)
    gauge = marks.gauge
    parts, y = _lines(
        parts,
        f"{gauge.name}: division {show(gauge.division)} {gauge.symbol}, "
        + (
            f"calibrated at {len(gauge.calibration.points)} points."
            if gauge.calibration
            else f"{gauge.accuracy_words}."
        ),
        y,
        width,
        FAINT,
    )
    parts, y = _lines(parts, marks.caution, y, width, FAINT)
    parts.append(
        tag("path", d=f"M2 {y - 1.4:.3f}v1.6h{_RULER:g}v-1.6", fill="none", stroke=INK,
            stroke_width=0.25)
    )  # fmt: skip
    parts.append(
        text(
            _RULER + 4, y, "20 mm when printed true to size", _SIZE, text_anchor="start", fill=FAINT
        )
    )
    return "".join(parts), y + 2.5


def _lines(
    parts: list[str], words: str, y: float, width: float, fill: str = INK
) -> tuple[list[str], float]:
    for line in wrap(words, width - 4, _SIZE):
        parts.append(text(2, y, line, _SIZE, text_anchor="start", fill=fill))
        y += _LEADING
    return parts, y + 0.5


def _swatch(mark: Mark, y: float, prefix: str) -> list[str]:
    """The mark's number and its look, small."""
    strong = mark.marking.shape == "line"
    parts = [
        tag("circle", cx=3.6, cy=y - 0.9, r=1.6, fill=INK if strong else PAPER, stroke=INK,
            stroke_width=0.25),
        text(3.6, y, str(mark.number), 2.4, fill=PAPER if strong else INK),
    ]  # fmt: skip
    x, top, wide, high = 6.6, y - 2.2, 6.5, 2.4
    if mark.marking.shape == "arc":
        fills = [COLOURS[mark.marking.colour]]
        if mark.marking.pattern == "hatched":
            fills.append(f"url(#{prefix}-hatched)")
        for fill in fills:
            parts.append(
                tag("rect", x=x, y=top, width=wide, height=high, fill=fill, stroke=INK,
                    stroke_width=0.2)
            )  # fmt: skip
    elif strong:
        away = 0.0 if mark.marking.slug == "maximum" else -1.6
        middle = x + wide / 2
        parts.append(
            tag("rect", x=middle + away, y=top, width=1.6, height=high, fill=COLOURS["red"])
        )
        parts.append(tag("path", d=f"M{middle:g} {top:g}v{high:g}", stroke=INK, stroke_width=0.35))
    elif mark.marking.shape == "pointer":
        parts.append(triangle(x + wide / 2, y + 0.4, mark.marking.pattern))
    else:
        parts.append(
            tag("path", d=f"M{x:g} {top + high:g}v-1.6h{wide:g}v1.6", fill="none", stroke=INK,
                stroke_width=0.35)
        )  # fmt: skip
    return parts
