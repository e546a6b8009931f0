"""Plots of a limit table: points where the numbers are, doubt told without colour."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest

from reconcile.measure.quantity import Quantity
from reconcile.publish.page_drawings import draw_dials, write_dials
from reconcile.publish.plot_axes import Axis
from reconcile.publish.plot_columns import plots_of_columns
from reconcile.publish.plot_conditions import plots_by_condition
from reconcile.publish.plots import make_plots, plot_by_height
from reconcile.publish.rows import LimitTable, Row
from reconcile.records import Figure, Place, Source

SVG = "{http://www.w3.org/2000/svg}"
BOOK = Source("s1", "book.pdf", "0" * 64, "pdf", title="Book")


def row(
    name: str,
    parameter: str,
    condition: str | None,
    bound: str,
    quantity: Quantity,
    *,
    standing: str = "verified",
    place: Place | None = None,
) -> Row:
    figure = Figure(name, (0, 1), str(quantity), quantity, place=place or Place(BOOK.id, 1, 1))
    return Row(
        name, name, name, True, parameter, condition, bound, None, False, figure,
        standing, "because", (), BOOK, None, (), (),  # type: ignore[arg-type]
    )  # fmt: skip


def boost(name: str, condition: str, number: int, **more: str) -> Row:
    q = Quantity(
        Fraction(number), unit="[psi]", kind="pressure", form="fixed_datum", resolution=Fraction(1)
    )
    return row(name, "boost", condition, "max", q, **more)  # type: ignore[arg-type]


def table(*rows: Row) -> LimitTable:
    return LimitTable("Table <&>", rows, (BOOK,), ())


BOOST = table(
    boost("a", "take-off", 9),
    boost("b", "climb", 6),
    boost("c", "weak cruising <&>", 2, standing="contradicted"),
)


def performance(suspect: int = -1) -> LimitTable:
    """Five lines of speed by height under two headings."""
    rows = []
    for line, (height, speed) in enumerate(
        ((0, 216), (5000, 229), (10000, 236), (15000, 242), (20000, 231)), 10
    ):
        for column, (value, unit, kind) in {
            "Height": (height, "[ft_i]", "altitude"),
            "T.A.S.": (speed, "[mi_i]/h", "speed"),
        }.items():
            q = Quantity(Fraction(value), unit=unit, kind=kind, resolution=Fraction(1))
            parameter = "altitude" if column == "Height" else "airspeed"
            place = Place(BOOK.id, 3, line, row=(str(height),), column=(column,))
            standing = "contradicted" if column == "T.A.S." and line == suspect else "verified"
            rows.append(
                row(
                    f"{column[0]}{line}",
                    parameter,
                    None,
                    "nominal",
                    q,
                    standing=standing,
                    place=place,
                )
            )
    return table(*rows)


@pytest.mark.parametrize("made", [BOOST, performance(12)], ids=["boost", "columns"])
def test_every_plot_is_well_formed_and_described(made: LimitTable) -> None:
    """Each plot parses, has a title and a description, and its numbers in words."""
    plots = make_plots(made)
    assert plots
    for plot in plots:
        root = ElementTree.fromstring(plot.svg)
        assert root.get("role") == "img"
        ids = [e.get("id") for e in root.iter() if e.get("id")]
        assert (root.get("aria-labelledby") or "").split() == ids[:2]
        assert plot.lines and plot.caption
    assert len({plot.id for plot in plots}) == len(plots)


def test_limits_stand_at_their_values_in_order() -> None:
    """Points of a plot by condition ascend with the limits, and lie on the axis by value."""
    (plot,) = plots_by_condition(BOOST)
    assert plot.lines == (
        "weak cruising <&>: at most +2 lb/in² over the datum, ±0.58 lb/in² (k = 2); contradicted",
        "climb: at most +6 lb/in² over the datum, ±0.58 lb/in² (k = 2); verified",
        "take-off: at most +9 lb/in² over the datum, ±0.58 lb/in² (k = 2); verified",
    )
    root = ElementTree.fromstring(plot.svg)
    tips = [
        float(found[1])
        for e in root.iter(f"{SVG}path")
        if (found := re.match(r"M([\d.]+) [\d.]+L[\d.]+ [\d.]+L\1 ", e.get("d") or ""))
    ]
    assert len(tips) == 3
    assert (tips[1] - tips[0]) / (tips[2] - tips[1]) == pytest.approx(4 / 3, rel=1e-3)


def test_rows_that_are_not_verified_are_open_and_say_so() -> None:
    """An unverified point is drawn open, and its sign stands beside its condition."""
    (plot,) = plots_by_condition(BOOST)
    root = ElementTree.fromstring(plot.svg)
    words = [e.text or "" for e in root.iter(f"{SVG}text")]
    assert "weak cruising <&> ×" in words and "climb ●" in words
    fills = [e.get("fill") for e in root.iter(f"{SVG}path") if (e.get("d") or "").endswith("Z")]
    assert fills.count("#ffffff") == 1 and len(fills) == 3


def test_boost_is_one_absolute_pressure_at_every_height() -> None:
    """9 lb/in2 boost is 163.378 kPa; over the air it is 62.05 kPa at sea level and 93.70 at
    10,000 ft, where the air has 69.6816 kPa (US Standard Atmosphere, 1976)."""
    plot = plot_by_height(BOOST)
    assert plot is not None
    assert plot.lines[0] == (
        "+9 lb/in² (take-off): 163.4 kPa absolute at every height; over the air around "
        "+62.1 kPa at 0 ft, +93.7 kPa at 10 000 ft, +117 kPa at 20 000 ft"
    )
    assert len(plot.lines) == 2  # the contradicted limit is no limit to draw


def test_suspect_points_of_a_column_are_boxed_and_named() -> None:
    """A contradicted point has a box, a cross and its word; the others have none."""
    (plain,) = plots_of_columns(performance())
    (plot,) = plots_of_columns(performance(12))
    root = ElementTree.fromstring(plot.svg)
    boxes = [len(list(ElementTree.fromstring(p.svg).iter(f"{SVG}rect"))) for p in (plain, plot)]
    assert boxes == [1, 2]  # the ground, and the box
    assert "236 m.p.h.: contradicted" in [e.text for e in root.iter(f"{SVG}text")]
    assert "10 000 ft: 236 m.p.h. (contradicted)" in plot.lines


def test_nothing_to_show_makes_no_plot() -> None:
    """An empty table, and one of figures that limit nothing, make no plot."""
    assert make_plots(table()) == ()
    unread = row("u", "boost", "take-off", "max", Quantity(unit="[psi]", kind="pressure"))
    assert make_plots(table(unread)) == ()


@pytest.mark.parametrize(
    ("low", "high"), [(0, 1), (-4, 12), (99.5, 100), (5, 5), (0, 0), (-3, -3), (1e-6, 2e6)]
)
def test_axes_hold_their_values(low: float, high: float) -> None:
    """An axis holds both values within its ends, and its ticks rise evenly."""
    axis = Axis.around(low, high, 0.0, 100.0)
    assert 0 <= axis.at(low) <= axis.at(high) <= 100
    steps = {b - a for a, b in zip(axis.ticks, axis.ticks[1:], strict=False)}
    assert len(steps) == 1
    assert 2 <= len(axis.ticks) <= 11


def test_each_dial_of_a_report_is_also_a_file(tmp_path: Path) -> None:
    """The dials stand on the report and beside it, true to size, and two runs agree."""
    drawn = draw_dials(BOOST)
    assert [d.title for d in drawn] == ["boost"]
    assert any("climb" in line for line in drawn[0].lines)
    written = write_dials(BOOST, tmp_path / "dials")
    assert [path.name for path, _ in written] == ["boost.svg"]
    first = (tmp_path / "dials" / "boost.svg").read_bytes()
    root = ElementTree.fromstring(first)
    assert (root.get("width") or "").endswith("mm")
    write_dials(BOOST, tmp_path / "dials")
    assert (tmp_path / "dials" / "boost.svg").read_bytes() == first
    assert write_dials(table(), tmp_path / "none") == []
    assert not (tmp_path / "none").exists()
