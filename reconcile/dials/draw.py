"""Drawing a gauge's marks: a dial to cut out true to size, or a strip for a display.

The gauge's own scale runs outside, the paper's inside it. Each mark has its number, and
under the drawing the number has its word, place, condition and source row, so that nothing
rests on colour. A limit line is drawn on the far side of an inked edge: the edge is the
limit.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from html import escape

from reconcile.dials.legend import legend
from reconcile.dials.marks import Mark, MarkSet
from reconcile.dials.scale import FORM_WORDS, Scale, modern_scale, period_scale
from reconcile.dials.svg import (
    COLOURS,
    FAINT,
    FONT,
    INK,
    LETTER,
    PAPER,
    num,
    polar,
    ring_segment,
    spread,
    tag,
    text,
    triangle,
    wrap,
)
from reconcile.errors import OutOfRangeError

START, SWEEP = -135.0, 270.0
"""Angle of the scale's lower end, clockwise from the top, and its sweep [deg];
EN 837-1:1996, 10: the scale normally covers 270 degrees."""
MARGIN = 13.5
"""Room for the numbers outside the dial [mm]."""
INNER = 0.845
"""Inner end of a limit line, of the radius: it leaves the numbers clear."""
_STRIP_LABELS = 8
_WORD = 2.2
"""Size of the word beside a limit's number [mm]."""
LINE_WIDTH = 1.6
"""Width of a limit line [mm]: about 1/16 in., TM 55-1500-345-23, 7."""
Position = Callable[[Fraction], float]
"""Where a value of the gauge stands: an angle [deg] or a place on a strip [mm]."""
SMALLEST, LARGEST = 30.0, 300.0


def dial_svg(
    marks: MarkSet,
    *,
    diameter_mm: float = 80.0,
    prefix: str = "dial",
    with_legend: bool = True,
) -> str:
    """The marks on a round dial.

    Parameters
    ----------
    marks : MarkSet
    diameter_mm : float, [mm]
        Of the dial's face; printed without scaling it comes out true to size.
    prefix : str
        Begins every id in the drawing, so that several can stand on one page.
    with_legend : bool
        Write what each number means under the dial.

    Returns
    -------
    svg : str

    Raises
    ------
    OutOfRangeError
        A diameter that is no dial's.
    """
    if not SMALLEST <= diameter_mm <= LARGEST:
        raise OutOfRangeError(
            f"a dial of {diameter_mm:g} mm", expected=f"{SMALLEST:g} to {LARGEST:g} mm"
        )
    gauge, r = marks.gauge, diameter_mm / 2
    side = diameter_mm + 2 * MARGIN

    def angle(value: Fraction) -> float:
        return START + SWEEP * float((value - gauge.lo) / (gauge.hi - gauge.lo))

    parts = [
        tag("circle", cx=0, cy=0, r=r, fill=PAPER, stroke=INK, stroke_width=0.35),
        *_arcs(marks, r, angle, prefix),
        *_ticks(modern_scale(gauge), r, angle, 0.885, -1, r * 0.088),
    ]
    period = period_scale(marks)
    if period is not None:
        ring = ring_segment(r * 0.559, r * 0.561, START, START + SWEEP)
        parts.append(tag("path", d=ring, fill=FAINT))
        parts += _ticks(period, r, angle, 0.56, -1, r * 0.07)
    parts += _lines(marks, r, angle)
    parts += _callouts(marks, r, angle)
    parts += _face(marks, r, period)
    foot, height = legend(marks, side, prefix) if with_legend else ("", 0.0)
    body = tag("g", "".join(parts), transform=f"translate({num(side / 2)} {num(side / 2)})")
    if foot:
        foot = tag("g", foot, transform=f"translate(0 {num(side)})")
    return _document(marks, side, side + height, body + foot, prefix, f"{diameter_mm:g} mm dial")


def strip_svg(
    marks: MarkSet,
    *,
    width_mm: float = 120.0,
    prefix: str = "strip",
    with_legend: bool = True,
) -> str:
    """The marks on a straight strip, for a digital display. As `dial_svg`."""
    if not 2 * SMALLEST <= width_mm <= 2 * LARGEST:
        raise OutOfRangeError(
            f"a strip of {width_mm:g} mm", expected=f"{2 * SMALLEST:g} to {2 * LARGEST:g} mm"
        )
    gauge, left, right = marks.gauge, 8.0, width_mm - 8.0
    top, bottom = 13.0, 19.0

    def x(value: Fraction) -> float:
        return left + (right - left) * float((value - gauge.lo) / (gauge.hi - gauge.lo))

    parts = [
        tag("rect", x=left, y=top, width=right - left, height=bottom - top, fill=PAPER,
            stroke=INK, stroke_width=0.3),
    ]  # fmt: skip
    for mark in marks.marks:
        if mark.marking.shape != "arc":
            continue
        for fill in (COLOURS[mark.marking.colour], _pattern_fill(mark, prefix)):
            if fill:
                parts.append(
                    tag("rect", x=x(mark.lo), y=top, width=x(mark.hi) - x(mark.lo),
                        height=bottom - top, fill=fill, stroke=INK, stroke_width=0.2)
                )  # fmt: skip
    for mark in marks.marks:
        if mark.marking.shape == "line":
            away = 1 if mark.marking.slug == "maximum" else -1
            edge = x(mark.hi)
            parts.append(
                tag("rect", x=min(edge, edge + away * LINE_WIDTH), y=top - 1.6, width=LINE_WIDTH,
                    height=bottom - top + 3.2, fill=COLOURS["red"])
            )  # fmt: skip
            parts.append(_rule(edge, top - 1.6, edge, bottom + 1.6, 0.35))
        elif mark.marking.shape == "pointer":
            parts.append(triangle(x(mark.hi), top, mark.marking.pattern))
        elif mark.marking.shape == "bracket":
            a, b, y = x(mark.lo), x(mark.hi), top - 0.9
            parts += [_rule(a, y, b, y, 0.35), _rule(a, y, a, top, 0.35), _rule(b, y, b, top, 0.35)]
    parts += _strip_ticks(modern_scale(gauge, _STRIP_LABELS), x, bottom, 1)
    period = period_scale(marks, _STRIP_LABELS)
    height = bottom + 10.5
    parts.append(text(width_mm / 2, bottom + 9.6, modern_scale(gauge).name, 2.6))
    if period is not None:
        parts.append(_rule(left, bottom + 13, right, bottom + 13, 0.2))
        parts += _strip_ticks(period, x, bottom + 13, 1)
        parts.append(
            text(width_mm / 2, bottom + 22.4, f"{period.name} (the paper’s)", 2.6, fill=FAINT)
        )
        height += 13
    order = sorted(marks.marks, key=lambda m: m.lo + m.hi)
    at = [(x(m.lo) + x(m.hi)) / 2 for m in order]
    for mark, centre, moved in zip(order, at, spread(at, 5.2)):
        parts.append(_rule(centre, top - 1.2, moved, 7.6, 0.15))
        parts += _number(moved, 5.2, mark)
        if mark.marking.shape == "line":
            parts.append(text(moved, 2.5, mark.marking.word, _WORD, font_weight="bold"))
    foot, more = legend(marks, width_mm, prefix) if with_legend else ("", 0.0)
    if foot:
        foot = tag("g", foot, transform=f"translate(0 {num(height)})")
    return _document(marks, width_mm, height + more, "".join(parts) + foot, prefix, "strip")


def _document(
    marks: MarkSet, width: float, height: float, body: str, prefix: str, what: str
) -> str:
    gauge = marks.gauge
    title = f"{marks.parameter} on {gauge.name}"
    said = "; ".join(
        f"{m.number}: {m.marking.word} {m.at(gauge.symbol)}, {m.label}, row {', '.join(m.row_ids)}"
        for m in marks.marks
    )
    hatch = tag(
        "pattern",
        tag("path", d="M0 1.6L1.6 0", stroke=INK, stroke_width=0.42),
        id=f"{prefix}-hatched", width=1.6, height=1.6, patternUnits="userSpaceOnUse",
    )  # fmt: skip
    return tag(
        "svg",
        tag("title", escape(title), id=f"{prefix}-title")
        + tag("desc", escape(f"{what}. {said}. {marks.caution}"), id=f"{prefix}-desc")
        + tag("defs", hatch)
        + tag("rect", width="100%", height="100%", fill=PAPER)
        + body,
        xmlns="http://www.w3.org/2000/svg",
        width=f"{num(width)}mm",
        height=f"{num(height)}mm",
        viewBox=f"0 0 {num(width)} {num(height)}",
        role="img",
        aria_labelledby=f"{prefix}-title {prefix}-desc",
        font_family=FONT,
    )


def _pattern_fill(mark: Mark, prefix: str) -> str:
    return f"url(#{prefix}-hatched)" if mark.marking.pattern == "hatched" else ""


def _arcs(marks: MarkSet, r: float, angle: Position, prefix: str) -> list[str]:
    parts = []
    for mark in marks.marks:
        if mark.marking.shape == "arc":
            path = ring_segment(r * 0.90, r * 0.96, angle(mark.lo), angle(mark.hi))
            for fill in (COLOURS[mark.marking.colour], _pattern_fill(mark, prefix)):
                if fill:
                    parts.append(
                        tag("path", d=path, fill=fill, stroke=INK, stroke_width=0.2,
                            data_row=" ".join(mark.row_ids))
                    )  # fmt: skip
        elif mark.marking.shape == "bracket":
            path = ring_segment(r * 0.925, r * 0.932, angle(mark.lo), angle(mark.hi))
            parts.append(tag("path", d=path, fill=INK, data_row=" ".join(mark.row_ids)))
            for end in (mark.lo, mark.hi):
                (x1, y1), (x2, y2) = polar(r * 0.90, angle(end)), polar(r * 0.93, angle(end))
                parts.append(_rule(x1, y1, x2, y2, 0.35))
    return parts


def _lines(marks: MarkSet, r: float, angle: Position) -> list[str]:
    parts = []
    wide = min(LINE_WIDTH, r * 0.04) / (r * 0.9) * 57.29578
    for mark in marks.marks:
        at = angle(mark.hi)
        if mark.marking.shape == "line":
            away = wide if mark.marking.slug == "maximum" else -wide
            start, end = sorted((at, at + away))
            parts.append(
                tag("path", d=ring_segment(r * INNER, r * 0.985, start, end), fill=COLOURS["red"],
                    data_row=" ".join(mark.row_ids))
            )  # fmt: skip
            (x1, y1), (x2, y2) = polar(r * INNER, at), polar(r * 0.985, at)
            parts.append(_rule(x1, y1, x2, y2, 0.35))
        elif mark.marking.shape == "pointer":
            parts.append(
                tag("g", triangle(0, -r * 0.885, mark.marking.pattern),
                    transform=f"rotate({num(at)})", data_row=" ".join(mark.row_ids))
            )  # fmt: skip
    return parts


def _rule(x1: float, y1: float, x2: float, y2: float, width: float) -> str:
    return tag(
        "path", d=f"M{num(x1)} {num(y1)}L{num(x2)} {num(y2)}", stroke=INK, stroke_width=width
    )


def _ticks(
    scale: Scale, r: float, angle: Position, ring: float, way: int, size: float
) -> list[str]:
    parts = []
    for tick in scale.ticks:
        a = angle(tick.at)
        length = (0.028, 0.042, 0.06)[tick.rank] * r
        (x1, y1), (x2, y2) = polar(r * ring, a), polar(r * ring + way * length, a)
        parts.append(_rule(x1, y1, x2, y2, (0.18, 0.25, 0.4)[tick.rank]))
        if tick.label:
            # Far enough in for the label's own width, which counts most beside the dial.
            across, down = polar(1, a)
            half = (abs(across) * len(tick.label) * LETTER + abs(down) * 0.8) * size / 2
            x, y = polar(r * ring + way * (length + half + size * 0.2), a)
            parts.append(text(x, y + size * 0.34, tick.label, size))
    return parts


def _strip_ticks(scale: Scale, x: Position, y: float, way: int) -> list[str]:
    parts = []
    for tick in scale.ticks:
        at, length = x(tick.at), (1.0, 1.5, 2.2)[tick.rank]
        parts.append(_rule(at, y, at, y + way * length, (0.15, 0.2, 0.35)[tick.rank]))
        if tick.label:
            parts.append(text(at, y + way * (length + 2.9), tick.label, 2.8))
    return parts


def _number(x: float, y: float, mark: Mark) -> list[str]:
    strong = mark.marking.shape == "line"
    return [
        tag("circle", cx=x, cy=y, r=2.1, fill=INK if strong else PAPER, stroke=INK,
            stroke_width=0.25),
        text(x, y + 1.0, str(mark.number), 2.8, fill=PAPER if strong else INK),
    ]  # fmt: skip


def _callouts(marks: MarkSet, r: float, angle: Position) -> list[str]:
    parts = []
    order = sorted(marks.marks, key=lambda m: m.lo + m.hi)
    at = [(angle(m.lo) + angle(m.hi)) / 2 for m in order]
    least = 5.4 / (r + 4.4) * 57.29578
    for mark, centre, moved in zip(order, at, spread(at, least)):
        (x1, y1), (x2, y2) = polar(r * 0.97, centre), polar(r + 2.3, moved)
        parts.append(_rule(x1, y1, x2, y2, 0.15))
        parts += _number(*polar(r + 4.4, moved), mark)
        if mark.marking.shape == "line":
            # Beyond the ring of numbers, as far out as the word's own size asks.
            across, down = polar(1, moved)
            half = abs(across) * len(mark.marking.word) * _WORD * 0.42 + abs(down) * _WORD * 0.4
            wx, wy = polar(r + 7.2 + half, moved)
            parts.append(text(wx, wy + _WORD * 0.36, mark.marking.word, _WORD, font_weight="bold"))
    return parts


def _face(marks: MarkSet, r: float, period: Scale | None) -> list[str]:
    """Words on the face: what is read, in what, and that it is not approved."""
    size = r * 0.085
    lines = wrap(marks.parameter.upper(), r * 0.78, size * 1.25)
    parts = [
        text(
            0,
            -r * 0.08 - size * 1.15 * (len(lines) - 1 - n),
            line,
            size,
            letter_spacing=size * 0.06,
        )
        for n, line in enumerate(lines)
    ]
    parts.append(tag("circle", cx=0, cy=0, r=r * 0.018, fill=INK))
    own = modern_scale(marks.gauge)
    parts.append(text(0, r * 0.755, own.unit, size))
    parts.append(text(0, r * 0.83, FORM_WORDS[own.form], size * 0.68))
    if period is not None:
        parts.append(text(0, r * 0.22, period.unit, size * 0.8, fill=FAINT))
        for line, words in enumerate((FORM_WORDS[period.form], "(the paper’s)")):
            parts.append(text(0, r * (0.29 + 0.065 * line), words, size * 0.6, fill=FAINT))
    parts.append(text(0, r * 0.90, "marks not approved", size * 0.58, fill=FAINT))
    return parts
