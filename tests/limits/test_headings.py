"""Units of a table's cells from its headings: golden tables in many layouts."""

from __future__ import annotations

from fractions import Fraction

import pytest

from reconcile.reading import read_text

PLAIN, DOUBTED = "read", "ambiguous"

# tradition, table, what is to be read in order: as written, number, unit, plainly or not
TABLES = {
    "unit deck under the headings, span over two": (
        "british",
        """
Height     Boost       Speed, m.p.h.     Fuel
ft.        lb.       T.A.S.    I.A.S.    galls./hr.
 5,000     +6         221       205        92
10,000     +4         233       201        88
""",
        [
            ("5,000", 5000, "[ft_i]", PLAIN), ("+6", 6, "[psi]", PLAIN),
            ("221", 221, "[mi_i]/h", PLAIN), ("205", 205, "[mi_i]/h", PLAIN),
            ("92", 92, "[gal_br]/h", PLAIN), ("10,000", 10000, "[ft_i]", PLAIN),
            ("+4", 4, "[psi]", PLAIN), ("233", 233, "[mi_i]/h", PLAIN),
            ("201", 201, "[mi_i]/h", PLAIN), ("88", 88, "[gal_br]/h", PLAIN),
        ],
    ),
    "numbers as headings keep the unit over them": (
        "british",
        """
Speeds of approach, m.p.h. I.A.S.

              Condition              Weight, lb.
                               20,000      24,000
  Flaps down, engines on           85          90
  Flaps up, glide                 101         108
""",
        [
            ("20,000", 20000, "[lb_av]", PLAIN), ("24,000", 24000, "[lb_av]", PLAIN),
            ("85", 85, "[mi_i]/h", PLAIN), ("90", 90, "[mi_i]/h", PLAIN),
            ("101", 101, "[mi_i]/h", PLAIN), ("108", 108, "[mi_i]/h", PLAIN),
        ],
    ),
    "counts under temperatures are no temperatures": (
        "british",
        """
      Priming                 Air temperature, °C.
                              +20       0       –10
  Strokes, small pump          2        5        8
  Strokes, large pump          1        2        3
""",
        [
            ("+20", 20, "Cel", PLAIN), ("0", 0, "Cel", PLAIN), ("–10", -10, "Cel", PLAIN),
        ],
    ),
    "units in the row labels": (
        "british",
        """
Oil system                 Starboard     Port
Capacity, galls.           12            11
Pressure, lb./sq. in.
    normal                 70            71
    minimum                45            46
Temperature, °C.
    maximum                90            95
""",
        [
            ("12", 12, "[gal_br]", PLAIN), ("11", 11, "[gal_br]", PLAIN),
            ("70", 70, "[psi]", PLAIN), ("71", 71, "[psi]", PLAIN),
            ("45", 45, "[psi]", PLAIN), ("46", 46, "[psi]", PLAIN),
            ("90", 90, "Cel", PLAIN), ("95", 95, "Cel", PLAIN),
        ],
    ),
    "a heading that runs over two decks": (
        "british",
        """
  Speed        Miles per      Fuel
  m.p.h.        gallon       galls./hr.
   180           1.20          150
   170           1.35          126
""",
        [
            ("180", 180, "[mi_i]/h", PLAIN), ("1.20", Fraction(6, 5), "[mi_i]/[gal_br]", PLAIN),
            ("150", 150, "[gal_br]/h", PLAIN), ("170", 170, "[mi_i]/h", PLAIN),
            ("1.35", Fraction(27, 20), "[mi_i]/[gal_br]", PLAIN),
            ("126", 126, "[gal_br]/h", PLAIN),
        ],
    ),
    "a heading to multiply by": (
        "american",
        """
Height       Temp.    Press.    T.A.S.     Fuel
1,000 ft.    °F.      in. Hg    m.p.h.     g.p.h.
0            59       29.92     210        95
5            41       24.90     222        97
""",
        [
            ("0", 0, "[ft_i]", PLAIN), ("59", 59, "[degF]", PLAIN),
            ("29.92", Fraction(2992, 100), "[in_i'Hg]", PLAIN), ("210", 210, "[mi_i]/h", PLAIN),
            ("95", 95, "[gal_us]/h", PLAIN), ("5", 5000, "[ft_i]", PLAIN),
            ("41", 41, "[degF]", PLAIN), ("24.90", Fraction(249, 10), "[in_i'Hg]", PLAIN),
            ("222", 222, "[mi_i]/h", PLAIN), ("97", 97, "[gal_us]/h", PLAIN),
        ],
    ),
    "hundredweights, quarters and pounds in columns of their own": (
        "british",
        """
LOADING           cwt.  qrs.  lb.
Empty             38     2     7
Full load         61     0    14
""",
        [
            ("38     2     7", 38 + Fraction(2, 4) + Fraction(7, 112), "[lcwt_av]", PLAIN),
            ("61     0    14", 61 + Fraction(14, 112), "[lcwt_av]", PLAIN),
        ],
    ),
    "pairs under a title that states both units": (
        "american",
        """
POWER SETTINGS   in. Hg / rpm
Take-off               46/2500
Climb                  38/2300
""",
        [
            ("46", 46, "[in_i'Hg]", PLAIN), ("2500", 2500, "{rev}/min", PLAIN),
            ("38", 38, "[in_i'Hg]", PLAIN), ("2300", 2300, "{rev}/min", PLAIN),
        ],
    ),
    "no unit anywhere: supposed, and said to be": (
        "british",
        """
Gauge               Reading
Oil pressure        80
Coolant             95
Boost               +6
Height              12,000
""",
        [
            ("80", 80, "[psi]", DOUBTED), ("95", 95, "Cel", DOUBTED),
            ("+6", 6, "[psi]", DOUBTED), ("12,000", 12000, "[ft_i]", DOUBTED),
        ],
    ),
    "one unit printed in the column": (
        "british",
        """
Weights
Tare                     14,500 lb.
Fuel                      3,348
Oil                         315
""",
        [
            ("14,500 lb.", 14500, "[lb_av]", PLAIN), ("3,348", 3348, "[lb_av]", PLAIN),
            ("315", 315, "[lb_av]", PLAIN),
        ],
    ),
    "units of neighbouring columns do not run together": (
        "british",
        """
Height  Boost   B.h.p.   Speed
ft.     lb.              m.p.h.
 5,000  +12     1,440    310
10,000  +10     1,380    325
""",
        [
            ("5,000", 5000, "[ft_i]", PLAIN), ("+12", 12, "[psi]", PLAIN),
            ("1,440", 1440, "[HP]", PLAIN), ("310", 310, "[mi_i]/h", PLAIN),
            ("10,000", 10000, "[ft_i]", PLAIN), ("+10", 10, "[psi]", PLAIN),
            ("1,380", 1380, "[HP]", PLAIN), ("325", 325, "[mi_i]/h", PLAIN),
        ],
    ),
    "a minimum and minutes": (
        "british",
        """
                        Min.   Normal   Max.
Oil pressure, lb.       45     70       100

Condition      R.p.m.   TIME
                        MIN.
Take-off       2,800    5
Military       2,700    15
""",
        [
            ("45", 45, "[psi]", PLAIN), ("70", 70, "[psi]", PLAIN), ("100", 100, "[psi]", PLAIN),
            ("2,800", 2800, "{rev}/min", PLAIN), ("5", 5, "min", PLAIN),
            ("2,700", 2700, "{rev}/min", PLAIN), ("15", 15, "min", PLAIN),
        ],
    ),
    "references and lists of contents": (
        "british",
        """
CONTENTS

Part V. Drills: starting, run-up, flight . . . . . . . . .   9
Part VI. Limitations in flight  . . . . . . . . . . . . . . 12

A.L. | Para. | Subject      | Now
2    | 19    | Coolant      | 120°C.
3    | 42    | Dive         | 330 m.p.h.
""",
        [("120°C.", 120, "Cel", PLAIN), ("330 m.p.h.", 330, "[mi_i]/h", PLAIN)],
    ),
    "German": (
        "german",
        """
Betriebszustand   Drehzahl   Ladedruck   Kühlstoff
                  U/min      ata         °C
Start             2600       1,35        110
Dauerflug         2200       1,10        100
""",
        [
            ("2600", 2600, "{rev}/min", PLAIN), ("1,35", Fraction(135, 100), "att", PLAIN),
            ("110", 110, "Cel", PLAIN), ("2200", 2200, "{rev}/min", PLAIN),
            ("1,10", Fraction(11, 10), "att", PLAIN), ("100", 100, "Cel", PLAIN),
        ],
    ),
    "Russian": (
        "soviet",
        """
Режим            Обороты   Наддув       Температура, °С
                 об/мин    мм рт. ст.   воды    масла
Взлётный         2700      1050         110     95
""",
        [
            ("2700", 2700, "{rev}/min", PLAIN), ("1050", 1050, "mm[Hg]", PLAIN),
            ("110", 110, "Cel", PLAIN), ("95", 95, "Cel", PLAIN),
        ],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", TABLES)
def test_golden_table(name: str) -> None:
    """Every figure of the table comes out with its unit, and nothing else does."""
    tradition, text, wanted = TABLES[name]
    found = [
        (f.as_written, f.nominal, f.unit, f.status) for f in read_text(text, tradition).figures
    ]
    assert found == wanted


def test_by_height_the_columns_are_of_the_air() -> None:
    """In a table by height a pressure and a temperature without a name are the air's."""
    text = """
Height    Temp.    Press.
ft.       °C.      in. Hg
 0        +15      29.92
 5,000    +5.1     24.90
"""
    reading = read_text(text, "british")
    parameters = {limit.parameter for limit in reading.limits}
    assert parameters == {"altitude", "outside air temperature", "barometric pressure"}


def test_note_takes_the_unit_of_its_figure() -> None:
    """The number in a note is of the kind of the figure it explains, by supposition."""
    text = """
SPEEDS NOT TO BE EXCEEDED       Knots
Diving .......................  410
Bomb doors open ..............  280*
* 240 before Mod. 422.
"""
    figures = {f.as_written: f for f in read_text(text, "british").figures}
    assert figures["240"].unit == "[kn_i]"
    assert figures["240"].status == DOUBTED
    assert "422" not in figures


@pytest.mark.parametrize(
    "line",
    [
        "   24C. Change of gear.",
        "45. Warning is given by shaking.",
        "The limit is 5 minutes.\n   58. Speed of approach, m.p.h.",
    ],
)
def test_paragraph_numbers_are_no_figures(line: str) -> None:
    """A number that opens a paragraph counts it."""
    figures = read_text(line, "british").figures
    assert [f.as_written for f in figures if f.as_written[:2] in {"24", "45", "58"}] == []


def test_a_line_may_begin_with_a_figure() -> None:
    """A figure carried over to the next line is not taken for a paragraph number."""
    text = (
        "The engine is run up to a speed of\n700 r.p.m. The oil pressure must reach\n60 lb./sq. in."
    )
    assert [f.nominal for f in read_text(text, "british").figures] == [700, 60]


def test_cells_of_long_tables_take_linear_time() -> None:
    """Twice the rows make hardly more than twice the look-ups of headings."""
    from reconcile.limits import decks

    def calls(rows: int) -> int:
        head = "Height     Boost     Speed\nft.        lb.       m.p.h.\n"
        body = "".join(f"{1000 + i:<11}+{i % 9:<9}{200 + i % 90}\n" for i in range(rows))
        count = 0
        original = decks._read_deck

        def counted(*args):  # type: ignore[no-untyped-def]
            nonlocal count
            count += 1
            return original(*args)

        decks._read_deck = counted
        try:
            reading = read_text(head + body, "british")
        finally:
            decks._read_deck = original
        assert len(reading.figures) == 3 * rows
        return count

    assert calls(80) <= 2 * calls(40)
