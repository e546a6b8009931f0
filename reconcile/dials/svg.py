"""The little SVG a dial needs: elements as text, everything escaped, numbers short and stable."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from math import cos, pi, sin

INK = "#1c1a16"
PAPER = "#ffffff"
FAINT = "#575148"
COLOURS = {"red": "#b3001b", "yellow": "#ffd23f", "green": "#00734c", "ink": INK}
"""Told apart by lightness too: yellow light, green middle, red and ink dark."""
LETTER = 0.57
"""Width of an average letter in ems, of the widest of the faces below."""
FONT = "Georgia, 'DejaVu Serif', 'Liberation Serif', serif"


def num(x: float) -> str:
    """A coordinate to a thousandth, without a minus before nought."""
    text = f"{x:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def tag(name: str, content: str | None = None, **attributes: object) -> str:
    """One element; attributes in the order given, `_` for `-`, None left out."""
    parts = []
    for key, value in attributes.items():
        if value is None:
            continue
        shown = num(value) if isinstance(value, int | float) else escape(str(value), quote=True)
        parts.append(f' {key.rstrip("_").replace("_", "-")}="{shown}"')
    head = f"<{name}{''.join(parts)}"
    return f"{head}/>" if content is None else f"{head}>{content}</{name}>"


def text(x: float, y: float, words: str, size: float, **more: object) -> str:
    """A line of text, centred unless told."""
    more.setdefault("text_anchor", "middle")
    more.setdefault("fill", INK)
    return tag("text", escape(words), x=x, y=y, font_size=size, **more)


def polar(r: float, angle: float) -> tuple[float, float]:
    """Point at radius `r` and `angle` [deg], clockwise from the top."""
    a = angle * pi / 180
    return r * sin(a), -r * cos(a)


def ring_segment(inner: float, outer: float, start: float, end: float) -> str:
    """Path of a piece of ring between two angles [deg], clockwise."""
    large = int(end - start > 180)
    (x1, y1), (x2, y2) = polar(outer, start), polar(outer, end)
    (x3, y3), (x4, y4) = polar(inner, end), polar(inner, start)
    return (
        f"M{num(x1)} {num(y1)}A{num(outer)} {num(outer)} 0 {large} 1 {num(x2)} {num(y2)}"
        f"L{num(x3)} {num(y3)}A{num(inner)} {num(inner)} 0 {large} 0 {num(x4)} {num(y4)}Z"
    )


def wrap(words: str, width: float, size: float) -> list[str]:
    """Lines of at most `width` for a serif of that size."""
    lines = [""]
    for word in words.split():
        candidate = f"{lines[-1]} {word}".strip()
        if len(candidate) * size * LETTER > width and lines[-1]:
            lines.append(word)
        else:
            lines[-1] = candidate
    return lines


def spread(angles: Iterable[float], least: float) -> list[float]:
    """Move numbers apart until each two neighbours are at least `least` apart.

    Parameters
    ----------
    angles : iterable of float, ascending
    least : float

    Returns
    -------
    moved : list of float, ascending, as near to where they were as that allows
    """
    groups: list[tuple[float, int]] = []  # centre and size of each run that touches
    for angle in angles:
        centre, size = angle, 1
        while groups and centre - (size - 1) * least / 2 - least < (
            groups[-1][0] + (groups[-1][1] - 1) * least / 2
        ):
            before, count = groups.pop()
            centre = (before * count + centre * size) / (count + size)
            size += count
        groups.append((centre, size))
    return [c + (i - (n - 1) / 2) * least for c, n in groups for i in range(n)]


def triangle(x: float, tip: float, pattern: str) -> str:
    """A pointer whose upright edge is the value and whose body lies on the allowed side."""
    high, wide = 3.0, 1.8
    left = wide if pattern in ("left", "both") else 0.0
    right = wide if pattern in ("right", "both") else 0.0
    points = f"M{num(x)} {num(tip)}L{num(x - left)} {num(tip - high)}H{num(x + right)}Z"
    fill = PAPER if pattern == "both" else INK
    return tag("path", d=points, fill=fill, stroke=INK, stroke_width=0.25, stroke_linejoin="round")
