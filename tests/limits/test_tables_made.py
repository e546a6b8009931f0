"""Tables made up at random, in the layouts of the period, and read back without an error.

Numbers, units, headings and layouts are drawn with fixed seeds, so that every run has the
same tables; what a cell must come out as is known from how it was made.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple

import pytest

from reconcile.reading import read_text

Draw = Callable[[random.Random], str]


class Kind(NamedTuple):
    """A column or row: what heads it, the unit printed, the unit meant, its numbers."""

    head: str
    unit: str
    code: str
    draw: Draw


class Made(NamedTuple):
    """A table, and its figures as (written, unit)."""

    text: str
    wanted: list[tuple[str, str]]


def whole(lo: int, hi: int, step: int = 1, form: str = "{:,}") -> Draw:
    """Numbers from `lo` to `hi` times `step`."""
    return lambda r: form.format(r.randrange(lo, hi) * step)


def part(lo: int, hi: int, mark: str = ".") -> Draw:
    """Numbers with two decimals."""
    return lambda r: f"{r.randrange(lo, hi) / 100:.2f}".replace(".", mark)


BRITISH = [
    Kind("R.p.m.", "", "{rev}/min", whole(18, 31, 100)),
    Kind("Boost", "lb./sq. in.", "[psi]", whole(1, 19, 1, "+{}")),
    Kind("Oil", "°C.", "Cel", whole(50, 96)),
    Kind("Coolant", "°C.", "Cel", whole(70, 126)),
    Kind("Speed", "m.p.h.", "[mi_i]/h", whole(100, 400)),
    Kind("Fuel", "galls./hr.", "[gal_br]/h", whole(40, 150)),
    Kind("B.h.p.", "", "[HP]", whole(50, 140, 10)),
    Kind("Rate of climb", "ft./min.", "[ft_i]/min", whole(20, 400, 10)),
    Kind("Pressure", "in. Hg", "[in_i'Hg]", part(1200, 2992)),
    Kind("Oil pressure", "lb./sq. in.", "[psi]", whole(45, 95)),
    Kind("Time", "mins.", "min", whole(1, 60)),
    Kind("Miles per gallon", "", "[mi_i]/[gal_br]", part(80, 250)),
    Kind("Consumption", "pints/hr.", "[pt_br]/h", whole(4, 30)),
    Kind("Weight", "lb.", "[lb_av]", whole(100, 500, 100)),
]
AMERICAN = [
    Kind("R.P.M.", "", "{rev}/min", whole(17, 28, 100, "{}")),
    Kind("M.P.", "in. Hg", "[in_i'Hg]", whole(28, 55)),
    Kind("B.H.P.", "", "[HP]", whole(50, 140, 10)),
    Kind("Oil press.", "p.s.i.", "[psi]", whole(60, 95)),
    Kind("Fuel", "g.p.h.", "[gal_us]/h", whole(40, 150)),
    Kind("Time", "min.", "min", whole(1, 60)),
    Kind("Cyl. head temp.", "°C", "Cel", whole(150, 260)),
]
GERMAN = [
    Kind("Drehzahl", "U/min", "{rev}/min", whole(18, 31, 100, "{}")),
    Kind("Ladedruck", "ata", "att", part(90, 145, ",")),
    Kind("Leistung", "PS", "75.kgf.m/s", whole(50, 140, 10, "{}")),
    Kind("Verbrauch", "l/h", "L/h", whole(150, 480)),
    Kind("Zeit", "Min.", "min", whole(1, 60)),
    Kind("Höhe", "m", "m", whole(5, 90, 100, "{}")),
    Kind("Öldruck", "atü", "att", part(300, 700, ",")),
]
LABELS = {
    "british": ["Take-off", "Climb", "Max. rich", "Combat", "Cruising", "All-out level"],
    "american": ["Take-off", "Military", "Rated", "Max. cruise", "Climb"],
    "german": ["Start", "Steigflug", "Dauerleistung", "Sparflug", "Notleistung"],
}
KINDS = {"british": BRITISH, "american": AMERICAN, "german": GERMAN}
GROUPS = {
    "british": [
        ("Temp. °C.", [Kind("Oil", "", "Cel", whole(50, 96)),
                       Kind("Cool.", "", "Cel", whole(70, 126))]),
        ("Speed, m.p.h.", [Kind("T.A.S.", "", "[mi_i]/h", whole(150, 400)),
                           Kind("I.A.S.", "", "[mi_i]/h", whole(120, 300))]),
        ("Galls. per hour", [Kind("one engine", "", "[gal_br]/h", whole(25, 60)),
                             Kind("four engines", "", "[gal_br]/h", whole(100, 240))]),
    ],
    "american": [
        ("I.A.S.", [Kind("m.p.h.", "", "[mi_i]/h", whole(120, 400)),
                    Kind("knots", "", "[kn_i]", whole(100, 350))]),
        ("Fuel flow, g.p.h.", [Kind("Auto rich", "", "[gal_us]/h", whole(60, 150)),
                               Kind("Auto lean", "", "[gal_us]/h", whole(40, 90))]),
    ],
    "german": [
        ("Temperatur °C", [Kind("Öl", "", "Cel", whole(50, 96)),
                           Kind("Kühlstoff", "", "Cel", whole(70, 126))]),
    ],
}  # fmt: skip


def typed(rows: list[list[str]], gap: int, *, right: bool, bar: bool = False) -> str:
    """Rows set in columns of equal width, the first flush left, the others as asked."""
    widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = [row[0].ljust(widths[0])]
        for cell, width in zip(row[1:], widths[1:]):
            cells.append(cell.rjust(width) if right else cell.center(width))
        lines.append((" | " if bar else " " * gap).join(cells).rstrip())
    return "\n".join(lines) + "\n"


def plain_table(r: random.Random, tradition: str) -> Made:
    """Ratings down the side, quantities across, units inline, in brackets, or in a deck."""
    kinds = r.sample(KINDS[tradition], r.randrange(2, 6))
    labels = r.sample(LABELS[tradition], r.randrange(2, 5))
    body = [[kind.draw(r) for kind in kinds] for _ in labels]
    style = r.choice(["deck", "inline", "brackets", "ruled"])
    if style == "deck":
        rows = [["Rating", *(k.head for k in kinds)], ["", *(k.unit for k in kinds)]]
    elif style == "brackets":
        rows = [["Rating", *(f"{k.head} ({k.unit})" if k.unit else k.head for k in kinds)]]
    else:
        rows = [["Rating", *(f"{k.head} {k.unit}".strip() for k in kinds)]]
    rows += [[label, *cells] for label, cells in zip(labels, body)]
    text = typed(rows, r.choice([2, 3, 4]), right=r.random() < 0.5, bar=style == "ruled")
    return Made(text, [(c, k.code) for cells in body for c, k in zip(cells, kinds)])


def spanned_table(r: random.Random, tradition: str) -> Made:
    """A heading with its unit over two columns, beside others with a deck of units."""
    title, members = r.choice(GROUPS[tradition])
    single = r.sample([k for k in KINDS[tradition] if k.unit], 2)
    kinds = [single[0], *members, single[1]]
    labels = r.sample(LABELS[tradition], 3)
    body = [[kind.draw(r) for kind in kinds] for _ in labels]
    low = ["", single[0].unit, *(m.head for m in members), single[1].unit]
    rows = [low, *([label, *cells] for label, cells in zip(labels, body))]
    high = ["Rating", single[0].head, "", "", single[1].head]
    widths = [max(len(row[k]) for row in [*rows, high]) for k in range(5)]
    gap = "   "
    widths[3] += max(0, len(title) - widths[2] - widths[3] - len(gap))
    top = [high[0].ljust(widths[0]), high[1].center(widths[1])]
    top += [title.center(widths[2] + widths[3] + len(gap)), high[4].center(widths[4])]
    lines = [gap.join(top).rstrip()]
    for row in rows:
        cells = [cell.center(width) for cell, width in zip(row[1:], widths[1:])]
        lines.append(gap.join([row[0].ljust(widths[0]), *cells]).rstrip())
    wanted = [(c, k.code) for cells in body for c, k in zip(cells, kinds)]
    return Made("\n".join(lines) + "\n", wanted)


def turned_table(r: random.Random, tradition: str) -> Made:
    """Quantities down the side with their units, ratings across."""
    kinds = r.sample(KINDS[tradition], r.randrange(2, 5))
    labels = r.sample(LABELS[tradition], r.randrange(2, 4))
    body = [[kind.draw(r) for _ in labels] for kind in kinds]
    heads = [f"{k.head}, {k.unit}" if k.unit else k.head for k in kinds]
    rows = [["", *labels], *([head, *cells] for head, cells in zip(heads, body))]
    wanted = [(c, k.code) for k, cells in zip(kinds, body) for c in cells]
    return Made(typed(rows, r.choice([2, 3, 4]), right=False), wanted)


def height_table(r: random.Random, tradition: str) -> Made:
    """Heights down the side, the first in words, their unit in a deck with the others."""
    words, head, unit, code, form = {
        "british": ("Sea level", "Height", "ft.", "[ft_i]", "{:,}"),
        "american": ("S.L.", "Altitude", "ft.", "[ft_i]", "{:,}"),
        "german": ("am Boden", "Flughöhe", "m", "m", "{}"),
    }[tradition]
    kinds = r.sample([k for k in KINDS[tradition] if k.unit and k.head != "Höhe"], 3)
    heights = [form.format((i + 1) * r.choice([1500, 2000])) for i in range(3)]
    heights = sorted(set(heights), key=lambda h: int(h.replace(",", "")))
    body = [[kind.draw(r) for kind in kinds] for _ in range(len(heights) + 1)]
    rows = [[head, *(k.head for k in kinds)], [unit, *(k.unit for k in kinds)]]
    rows += [[label, *cells] for label, cells in zip([words, *heights], body)]
    wanted = [(c, k.code) for cells in body for c, k in zip(cells, kinds)]
    return Made(typed(rows, 3, right=True), wanted + [(h, code) for h in heights])


def number(written: str, tradition: str) -> Fraction:
    """The number as its tradition writes it."""
    if tradition == "german":
        return Fraction(written.replace(",", "."))
    return Fraction(written.replace(",", "").replace("+", ""))


MAKERS = {
    "plain": plain_table,
    "spanned": spanned_table,
    "turned": turned_table,
    "height": height_table,
}


@pytest.mark.parametrize("tradition", KINDS)
@pytest.mark.parametrize("maker", MAKERS)
def test_made_tables_read_back(maker: str, tradition: str) -> None:
    """Every cell comes out with its unit, hardly one in doubt, and nothing else is found."""
    doubted = total = 0
    for seed in range(24):
        made = MAKERS[maker](random.Random(f"{maker} {tradition} {seed}"), tradition)
        figures = read_text(made.text, tradition).figures
        found = sorted((f.as_written, f.unit) for f in figures)
        assert found == sorted(made.wanted), made.text
        assert all(f.nominal == number(f.as_written, tradition) for f in figures), made.text
        doubted += sum(f.status != "read" for f in figures)
        total += len(figures)
    assert doubted <= 0.01 * total


@pytest.mark.parametrize("tradition", KINDS)
def test_without_units_nothing_is_certain(tradition: str) -> None:
    """With no unit printed anywhere, only what is its own unit is given out as certain."""
    for seed in range(24):
        r = random.Random(f"bare {tradition} {seed}")
        kinds = r.sample([k for k in KINDS[tradition] if k.unit], 3)
        labels = r.sample(LABELS[tradition], 3)
        rows = [["Rating", *(k.head for k in kinds)]]
        rows += [[label, *(k.draw(r) for k in kinds)] for label in labels]
        text = typed(rows, 3, right=True)
        for figure in read_text(text, tradition).figures:
            if figure.unit != "{rev}/min":
                assert figure.status != "read", (figure.as_written, text)
