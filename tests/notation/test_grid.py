"""Limit tables of every layout: which headings govern which cell."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.notation.grid import Grid, find_grids, locate

# Each: name, text, the cells as "row path | column path | cell", "=" after a ditto mark.
# The tables are invented; paths are what a reader of the page would say governs the cell.
GOLDEN: list[tuple[str, str, list[str]]] = [
    (
        "two decks over gears, groups and dittos",
        """\
ENGINE LIMITATIONS
                    Low gear M.S.      High gear F.S.     Time
                    R.p.m.   Boost     R.p.m.   Boost     (mins.)
Take-off            3,000    +12*        --       --         5
Climb               2,850     +9       2,850     +9         60
Cruising
   Rich             2,650     +7       2,650     +7      No limit
   Weak             2,650     +4         do.     ,,        do.

* Up to 1,000 ft. only with the
  second fuel.
Some prose follows here with no table in it at all.
""",
        [
            "Take-off | Low gear M.S. > R.p.m. | 3,000",
            "Take-off | Low gear M.S. > Boost | +12*",
            "Take-off | Time > (mins.) | 5",
            "Climb | Low gear M.S. > R.p.m. | 2,850",
            "Climb | Low gear M.S. > Boost | +9",
            "Climb | High gear F.S. > R.p.m. | 2,850",
            "Climb | High gear F.S. > Boost | +9",
            "Climb | Time > (mins.) | 60",
            "Cruising > Rich | Low gear M.S. > R.p.m. | 2,650",
            "Cruising > Rich | Low gear M.S. > Boost | +7",
            "Cruising > Rich | High gear F.S. > R.p.m. | 2,650",
            "Cruising > Rich | High gear F.S. > Boost | +7",
            "Cruising > Rich | Time > (mins.) | No limit",
            "Cruising > Weak | Low gear M.S. > R.p.m. | 2,650",
            "Cruising > Weak | Low gear M.S. > Boost | +4",
            "Cruising > Weak | High gear F.S. > R.p.m. | do. =",
            "Cruising > Weak | High gear F.S. > Boost | ,, =",
            "Cruising > Weak | Time > (mins.) | do. =",
        ],
    ),
    (
        "markdown with a spanning head",
        """\
| Condition | R.p.m. | Boost | Temp. °C. | |
| | | lb./sq.in. | Cool. | Oil |
|---|---|---|---|---|
| Take-off | 3,000 | +12 | - | - |
| Climb (5 mins.) | 2,850 | +9 | 125 | 90 |
""",
        [
            "Condition > Take-off | R.p.m. | 3,000",
            "Condition > Take-off | Boost > lb./sq.in. | +12",
            "Condition > Climb (5 mins.) | R.p.m. | 2,850",
            "Condition > Climb (5 mins.) | Boost > lb./sq.in. | +9",
            "Condition > Climb (5 mins.) | Temp. °C. > Cool. | 125",
            "Condition > Climb (5 mins.) | Temp. °C. > Oil | 90",
        ],
    ),
    (
        "leaders under group heads",
        """\
Oil pressures
  Normal .................. 80 lb./sq.in.
  Minimum ................. 60 lb./sq.in.
Oil temperatures
  Minimum for opening up .. 15°C.
  Maximum ... ... ... ... . 90°C.
""",
        [
            "Oil pressures > Normal |  | 80 lb./sq.in.",
            "Oil pressures > Minimum |  | 60 lb./sq.in.",
            "Oil temperatures > Minimum for opening up |  | 15°C.",
            "Oil temperatures > Maximum |  | 90°C.",
        ],
    ),
    (
        "lettered cells",
        """\
(a) Condition (b) R.p.m. (c) Boost lb./sq.in. (d) Oil °C.
(a) Take-off (b) 3,000 (c) +12 (d) 90
(a) Climb (b) 2,850 (c) +9 (d) 90
""",
        [
            "Condition > Take-off | R.p.m. | 3,000",
            "Condition > Take-off | Boost lb./sq.in. | +12",
            "Condition > Take-off | Oil °C. | 90",
            "Condition > Climb | R.p.m. | 2,850",
            "Condition > Climb | Boost lb./sq.in. | +9",
            "Condition > Climb | Oil °C. | 90",
        ],
    ),
    (
        "legend in a paragraph above",
        """\
(a) Condition
(b) R.p.m.
(c) Boost, lb./sq.in.

(a)         (b)     (c)
Take-off    3,000   +12
Climb       2,850   +9
""",
        [
            "(a) > Take-off | R.p.m. > (b) | 3,000",
            "(a) > Take-off | Boost, lb./sq.in. > (c) | +12",
            "(a) > Climb | R.p.m. > (b) | 2,850",
            "(a) > Climb | Boost, lb./sq.in. > (c) | +9",
        ],
    ),
    (
        "side by side",
        """\
PORT ENGINE                    STARBOARD ENGINE
Condition   R.p.m.  Boost      Condition   R.p.m.  Boost
Take-off    3,000   +12        Take-off    2,850   +10
Climb       2,850   +9         Climb       2,650   +8
""",
        [
            "PORT ENGINE > Condition > Take-off | R.p.m. | 3,000",
            "PORT ENGINE > Condition > Take-off | Boost | +12",
            "PORT ENGINE > Condition > Climb | R.p.m. | 2,850",
            "PORT ENGINE > Condition > Climb | Boost | +9",
            "STARBOARD ENGINE > Condition > Take-off | R.p.m. | 2,850",
            "STARBOARD ENGINE > Condition > Take-off | Boost | +10",
            "STARBOARD ENGINE > Condition > Climb | R.p.m. | 2,650",
            "STARBOARD ENGINE > Condition > Climb | Boost | +8",
        ],
    ),
    (
        "conditions as columns",
        """\
             Take-off   Climb     Cruise
             (5 min.)   (1 hr.)   (cont.)
R.p.m.       3,000      2,850     2,650
Boost         +12         +9        +4
Mixture      Rich       Rich      Weak
""",
        [
            "R.p.m. | Take-off > (5 min.) | 3,000",
            "R.p.m. | Climb > (1 hr.) | 2,850",
            "R.p.m. | Cruise > (cont.) | 2,650",
            "Boost | Take-off > (5 min.) | +12",
            "Boost | Climb > (1 hr.) | +9",
            "Boost | Cruise > (cont.) | +4",
            "Mixture | Take-off > (5 min.) | Rich",
            "Mixture | Climb > (1 hr.) | Rich",
            "Mixture | Cruise > (cont.) | Weak",
        ],
    ),
    (
        "goes on over the page",
        """\
Condition   R.p.m.  Boost
Take-off    3,000   +12
Climb       2,850   +9

                 - 14 -

(cont'd)
Cruise      2,650   +4
Idle        600     -
""",
        [
            "Condition > Take-off | R.p.m. | 3,000",
            "Condition > Take-off | Boost | +12",
            "Condition > Climb | R.p.m. | 2,850",
            "Condition > Climb | Boost | +9",
            "Condition > Cruise | R.p.m. | 2,650",
            "Condition > Cruise | Boost | +4",
            "Condition > Idle | R.p.m. | 600",
        ],
    ),
    (
        "tabs",
        "Height\tSpeed\tPower\nft.\tm.p.h.\th.p.\n5,000\t310\t1,020\n10,000\t325\t\t\n15,000\t340\t1,100\n",
        [
            " | Height > ft. | 5,000",
            "Height > ft. > 5,000 | Speed > m.p.h. | 310",
            "Height > ft. > 5,000 | Power > h.p. | 1,020",
            " | Height > ft. | 10,000",
            "Height > ft. > 10,000 | Speed > m.p.h. | 325",
            " | Height > ft. | 15,000",
            "Height > ft. > 15,000 | Speed > m.p.h. | 340",
            "Height > ft. > 15,000 | Power > h.p. | 1,100",
        ],
    ),
    (
        "two leader lists side by side",
        """\
Fuel pressure ....... 3 lb.     Oil pressure ....... 80 lb.
Fuel pressure min ... 2 lb.     Oil pressure min ... 60 lb.
""",
        [
            "Fuel pressure |  | 3 lb.",
            "Fuel pressure min |  | 2 lb.",
            "Oil pressure |  | 80 lb.",
            "Oil pressure min |  | 60 lb.",
        ],
    ),
    (
        "labels over two lines",
        """\
Maximum for all-out level
   flight (5 mins.)       3,000   +16
Maximum climbing
   (1 hr. limit)          2,850   +9
Cruising                  2,650   +7
""",
        [
            "Maximum for all-out level > flight (5 mins.) |  | 3,000",
            "Maximum for all-out level > flight (5 mins.) |  | +16",
            "Maximum climbing > (1 hr. limit) |  | 2,850",
            "Maximum climbing > (1 hr. limit) |  | +9",
            "Cruising |  | 2,650",
            "Cruising |  | +7",
        ],
    ),
    (
        "label carried down",
        """\
Gear     M      2,850   +9    125
         S      2,850   +9    125
Cruise   M      2,650   +7    105
         S      2,650   +7    105
""",
        [
            "Gear |  | M",
            "Gear > M |  | 2,850",
            "Gear > M |  | +9",
            "Gear > M |  | 125",
            "Gear |  | S",
            "Gear > S |  | 2,850",
            "Gear > S |  | +9",
            "Gear > S |  | 125",
            "Cruise |  | M",
            "Cruise > M |  | 2,650",
            "Cruise > M |  | +7",
            "Cruise > M |  | 105",
            "Cruise |  | S",
            "Cruise > S |  | 2,650",
            "Cruise > S |  | +7",
            "Cruise > S |  | 105",
        ],
    ),
    (
        "bars without a rule",
        """\
Condition | R.p.m. | Boost
Take-off | 3,000 | +12
Climb | 2,850 | +9
""",
        [
            "Condition > Take-off | R.p.m. | 3,000",
            "Condition > Take-off | Boost | +12",
            "Condition > Climb | R.p.m. | 2,850",
            "Condition > Climb | Boost | +9",
        ],
    ),
    (
        "no label column",
        """\
R.p.m.   Boost   Oil temp.
3,000    +12     90
2,850    +9      85
""",
        [
            " | R.p.m. | 3,000",
            "R.p.m. > 3,000 | Boost | +12",
            "R.p.m. > 3,000 | Oil temp. | 90",
            " | R.p.m. | 2,850",
            "R.p.m. > 2,850 | Boost | +9",
            "R.p.m. > 2,850 | Oil temp. | 85",
        ],
    ),
    (
        "typist's ampersand for a blank cell",
        """\
CONDITION    RPM          MANIFOLD PRESS.  BLOWER  TIME LIMIT
             & (IN. HG.)  & (MIN.)
TAKE-OFF     2600         44.5             LOW     5
MAX. CONT.   2250         36.0             HIGH    NONE
""",
        [
            "CONDITION > TAKE-OFF | RPM | 2600",
            "CONDITION > TAKE-OFF | MANIFOLD PRESS. > (IN. HG.) | 44.5",
            "CONDITION > TAKE-OFF | BLOWER | LOW",
            "CONDITION > TAKE-OFF | TIME LIMIT > (MIN.) | 5",
            "CONDITION > MAX. CONT. | RPM | 2250",
            "CONDITION > MAX. CONT. | MANIFOLD PRESS. > (IN. HG.) | 36.0",
            "CONDITION > MAX. CONT. | BLOWER | HIGH",
            "CONDITION > MAX. CONT. | TIME LIMIT > (MIN.) | NONE",
        ],
    ),
    (
        "cells glued by a long neighbour",
        """\
                          Coolant          Oil inlet
Max. for climb (30 min.)  125°C.           90°C.
Emergency                 135°C. (5 mins.) 105°C.
Max. continuous           105°C.           85°C.
""",
        [
            "Max. for climb (30 min.) | Coolant | 125°C.",
            "Max. for climb (30 min.) | Oil inlet | 90°C.",
            "Emergency | Coolant | 135°C. (5 mins.)",
            "Emergency | Oil inlet | 105°C.",
            "Max. continuous | Coolant | 105°C.",
            "Max. continuous | Oil inlet | 85°C.",
        ],
    ),
    (
        "list that hangs under a label",
        """\
Airspeed limits: Never exceed 176 m.p.h. (153 knots)
                 Flaps down 110 m.p.h. (96 knots)
                 Undercarriage down 120 m.p.h.
""",
        [
            "Airspeed limits: |  | Never exceed 176 m.p.h. (153 knots)",
            "Airspeed limits: |  | Flaps down 110 m.p.h. (96 knots)",
            "Airspeed limits: |  | Undercarriage down 120 m.p.h.",
        ],
    ),
    (
        "lone values under a label",
        """\
Tyre pressures .. .. Main 57 lb./sq. in.
                     Tail 42 lb./sq. in.
""",
        [
            "Tyre pressures |  | Main 57 lb./sq. in.",
            "Tyre pressures |  | Tail 42 lb./sq. in.",
        ],
    ),
    (
        "wide characters",
        """\
発動機運転限界
状態      回転数  吸入圧力  筒温
離昇      2,550   +250粍    230度
最大連続  2,450   +150粍    同上
巡航      2,000   -50粍     ー
""",
        [
            "状態 > 離昇 | 回転数 | 2,550",
            "状態 > 離昇 | 吸入圧力 | +250粍",
            "状態 > 離昇 | 筒温 | 230度",
            "状態 > 最大連続 | 回転数 | 2,450",
            "状態 > 最大連続 | 吸入圧力 | +150粍",
            "状態 > 最大連続 | 筒温 | 同上 =",
            "状態 > 巡航 | 回転数 | 2,000",
            "状態 > 巡航 | 吸入圧力 | -50粍",
        ],
    ),
    (
        "unit column at the end",
        """\
                    Port     Starboard
Oil pressure        80       78     lb./sq.in.
Oil temperature     65       67     °C.
""",
        [
            "Oil pressure > lb./sq.in. | Port | 80",
            "Oil pressure > lb./sq.in. | Starboard | 78",
            "Oil pressure |  | lb./sq.in.",
            "Oil temperature > °C. | Port | 65",
            "Oil temperature > °C. | Starboard | 67",
            "Oil temperature |  | °C.",
        ],
    ),
    (
        "label that runs on below its row",
        """\
Rating                 R.p.m.   Boost
Maximum for all-out    3,000    +16
   level flight
Cruising               2,650    +7
""",
        [
            "Rating > Maximum for all-out > level flight | R.p.m. | 3,000",
            "Rating > Maximum for all-out > level flight | Boost | +16",
            "Rating > Cruising | R.p.m. | 2,650",
            "Rating > Cruising | Boost | +7",
        ],
    ),
    (
        "values of height bands",
        """\
Height        Full throttle boost
(ft.)         M gear     S gear
0 to 5,000    +9         +7
Above 10,000  -          +9
""",
        [
            " | Height > (ft.) | 0 to 5,000",
            "Height > (ft.) > 0 to 5,000 | Full throttle boost > M gear | +9",
            "Height > (ft.) > 0 to 5,000 | Full throttle boost > S gear | +7",
            "Height > (ft.) > Above 10,000 | Full throttle boost > S gear | +9",
        ],
    ),
    (
        "lettered rows over two lines",
        """\
(a) Condition (b) R.p.m. (c) Boost
(d) Oil °C.
(a) Take-off (b) 3,000 (c) +12
(d) 90
(a) Climb (b) 2,850 (c) +9 (d) 85
""",
        [
            "Condition > Take-off | R.p.m. | 3,000",
            "Condition > Take-off | Boost | +12",
            "Condition > Take-off | Oil °C. | 90",
            "Condition > Climb | R.p.m. | 2,850",
            "Condition > Climb | Boost | +9",
            "Condition > Climb | Oil °C. | 85",
        ],
    ),
    (
        "side by side without headings",
        """\
Take-off  3,000    Oil pressure   80
Climb     2,850    Coolant        125
Cruise    2,400    Oil            90
""",
        [
            "Take-off |  | 3,000",
            "Climb |  | 2,850",
            "Cruise |  | 2,400",
            "Oil pressure |  | 80",
            "Coolant |  | 125",
            "Oil |  | 90",
        ],
    ),
    (
        "heading between two tables without a blank line",
        """\
ENGINE
Rating     R.p.m.  Boost
Climb      2,850   +9
Cruise     2,400   +4
SPEEDS
State      M.p.h.  Knots
Flaps      130     113
Wheels     160     139
""",
        [
            "Rating > Climb | R.p.m. | 2,850",
            "Rating > Climb | Boost | +9",
            "Rating > Cruise | R.p.m. | 2,400",
            "Rating > Cruise | Boost | +4",
            "State > Flaps | M.p.h. | 130",
            "State > Flaps | Knots | 113",
            "State > Wheels | M.p.h. | 160",
            "State > Wheels | Knots | 139",
        ],
    ),
    (
        "three dots between numbers are a range",
        """\
Скорость ........ 80 ... 220 км/ч
Обороты ......... 1800 ... 2100
""",
        [
            "Скорость |  | 80 ... 220 км/ч",
            "Обороты |  | 1800 ... 2100",
        ],
    ),
    (
        "box characters",
        """\
┌──────────┬────────┬───────┐
│ Rating   │ R.p.m. │ Boost │
├──────────┼────────┼───────┤
│ Climb    │ 2,850  │ +9    │
│ Cruise   │ 2,400  │ +4    │
└──────────┴────────┴───────┘
""",
        [
            "Rating > Climb | R.p.m. | 2,850",
            "Rating > Climb | Boost | +9",
            "Rating > Cruise | R.p.m. | 2,400",
            "Rating > Cruise | Boost | +4",
        ],
    ),
    (
        "bars with a heading of two decks and no rule",
        """\
Rating   | Temp. °C. |     | Boost
         | Cool.     | Oil | lb.
Climb    | 125       | 90  | +9
         | 120       | 85  | +7
""",
        [
            "Rating > Climb | Temp. °C. > Cool. | 125",
            "Rating > Climb | Temp. °C. > Oil | 90",
            "Rating > Climb | Boost > lb. | +9",
            "Rating > Climb | Temp. °C. > Cool. | 120",
            "Rating > Climb | Temp. °C. > Oil | 85",
            "Rating > Climb | Boost > lb. | +7",
        ],
    ),
    (
        "prose right below with two blanks after stops",
        """\
The limits are these for all engines.
            R.p.m.  Boost
Take-off    3,000   +12
Climb       2,850   +9
If they are passed, stop.  Then go on.
See that all is well.  At +4 check
the oil.  It should be 80 lb.
""",
        [
            "Take-off | R.p.m. | 3,000",
            "Take-off | Boost | +12",
            "Climb | R.p.m. | 2,850",
            "Climb | Boost | +9",
        ],
    ),
    (
        "a sentence right below a list",
        """\
Oil pressure  80 lb./sq.in.
Oil temp.     65 °C.
The oil is checked daily.  It must be 1 in. from the top.
""",
        [
            "Oil pressure |  | 80 lb./sq.in.",
            "Oil temp. |  | 65 °C.",
        ],
    ),
    (
        "a sentence right above",
        """\
Prose before with a figure.  2,850 r.p.m. is usual here.
Take-off    3,000   +12
Climb       2,850   +9
""",
        [
            "Take-off |  | 3,000",
            "Take-off |  | +12",
            "Climb |  | 2,850",
            "Climb |  | +9",
        ],
    ),
    (
        "a note right below",
        """\
Take-off    3,000   +12
Climb       2,850   +9
NOTE.  The above is for 100 octane.  For 87 octane
see para. 12.
""",
        [
            "Take-off |  | 3,000",
            "Take-off |  | +12",
            "Climb |  | 2,850",
            "Climb |  | +9",
        ],
    ),
    (
        "blocks of columns that repeat",
        """\
Engine          Fuel 100 octane          Fuel 87 octane
                R.p.m.  Boost  Min.     R.p.m.  Boost  Min.
Take-off        3,000   +12    5        2,850   +7     5
Climb           2,850   +9     60       2,650   +5     60
""",
        [
            "Engine > Take-off | Fuel 100 octane > R.p.m. | 3,000",
            "Engine > Take-off | Fuel 100 octane > Boost | +12",
            "Engine > Take-off | Fuel 100 octane > Min. | 5",
            "Engine > Take-off | Fuel 87 octane > R.p.m. | 2,850",
            "Engine > Take-off | Fuel 87 octane > Boost | +7",
            "Engine > Take-off | Fuel 87 octane > Min. | 5",
            "Engine > Climb | Fuel 100 octane > R.p.m. | 2,850",
            "Engine > Climb | Fuel 100 octane > Boost | +9",
            "Engine > Climb | Fuel 100 octane > Min. | 60",
            "Engine > Climb | Fuel 87 octane > R.p.m. | 2,650",
            "Engine > Climb | Fuel 87 octane > Boost | +5",
            "Engine > Climb | Fuel 87 octane > Min. | 60",
        ],
    ),
    (
        "dittos under the units of the cells above",
        """\
            R.p.m.         Boost
Take-off    3,000 r.p.m.   +12 lb./sq.in.
Climb       2,850  ,,      +9    ,,
Cruise       do.           +4    do.
""",
        [
            "Take-off | R.p.m. | 3,000 r.p.m.",
            "Take-off | Boost | +12 lb./sq.in.",
            "Climb | R.p.m. | 2,850  ,,",
            "Climb | Boost | +9    ,,",
            "Cruise | R.p.m. | do. =",
            "Cruise | Boost | +4    do.",
        ],
    ),
    (
        "a group whose labels end in line by chance",
        """\
Cruising:
  rich     2,650   +7
  weak     2,650   +4
Combat     3,000   +16
""",
        [
            "Cruising: > rich |  | 2,650",
            "Cruising: > rich |  | +7",
            "Cruising: > weak |  | 2,650",
            "Cruising: > weak |  | +4",
            "Combat |  | 3,000",
            "Combat |  | +16",
        ],
    ),
    (
        "totals under a rule in pieces",
        """\
                Fuel, gallons
Tank      Port   Starboard   Total
Inner     285    285         570
Outer     95     95          190
          ----   ---------   -----
Total     380    380         760
""",
        [
            "Tank > Inner | Fuel, gallons > Port | 285",
            "Tank > Inner | Fuel, gallons > Starboard | 285",
            "Tank > Inner | Fuel, gallons > Total | 570",
            "Tank > Outer | Fuel, gallons > Port | 95",
            "Tank > Outer | Fuel, gallons > Starboard | 95",
            "Tank > Outer | Fuel, gallons > Total | 190",
            "Tank > Total | Fuel, gallons > Port | 380",
            "Tank > Total | Fuel, gallons > Starboard | 380",
            "Tank > Total | Fuel, gallons > Total | 760",
        ],
    ),
    (
        "a second value in brackets below",
        """\
              MAX.  MIN.
Oil temp.     90    15    °C.
              (100 for 5 min.)
Oil press.    100   60    lb.
""",
        [
            "Oil temp. > °C. | MAX. | 90",
            "Oil temp. > °C. | MIN. | 15",
            "Oil temp. |  | °C.",
            "Oil temp. | MAX. | (100 for 5 min.)",
            "Oil press. > lb. | MAX. | 100",
            "Oil press. > lb. | MIN. | 60",
            "Oil press. |  | lb.",
        ],
    ),
]

PROSE = [
    """\
The engine is run up.  Check the boost.  It should be
+4 at 2,000 r.p.m.  Then open to 2,850 r.p.m.  3,000 is the limit.
See that oil pressure  is 80 lb./sq.in.  before going on with
the test.  If it is 60  or less stop at once.  Note the
""",
    """\
Open up slowly ... the oil pressure must not fall below 60 lb./sq.in. and
the boost is held at +4 ... then throttle back.
Between 80 ... 220 km/h the flaps may be lowered.
""",
    "    Para. 12. The boost is +6 lb./sq.in.\n    Para. 13. It may be raised to +9.\n",
    "1:20 so this is the boost gauge\n1:24 it reads plus six\n",
    "",
    "\n\n\n",
]


def shown(text: str) -> list[str]:
    """Cells of all grids as in GOLDEN."""

    def path(spans: tuple[tuple[int, int], ...]) -> str:
        return " > ".join(text[a:b] for a, b in spans)

    return [
        f"{path(c.row)} | {path(c.column)} | {text[c.span[0] : c.span[1]]}" + " =" * c.ditto
        for grid in find_grids(text)
        for c in grid.cells
    ]


@pytest.mark.parametrize(("name", "text", "cells"), GOLDEN, ids=[row[0] for row in GOLDEN])
def test_golden(name: str, text: str, cells: list[str]) -> None:
    """Every filled cell is found once, under the headings that govern it."""
    assert shown(text) == cells


@pytest.mark.parametrize("text", PROSE)
def test_prose_gives_no_grid(text: str) -> None:
    """Typewritten prose with double blanks, pauses and numbers is not taken for a table."""
    assert find_grids(text) == []


def test_note_marks_find_their_explanation() -> None:
    """A mark on a cell, its row or its column leads to the note below the table."""
    text = GOLDEN[0][1]
    [grid] = find_grids(text)
    [marked] = [cell for cell in grid.cells if cell.note]
    assert text[slice(*marked.span)] == "+12*"
    a, b = grid.notes["*"]
    assert text[a:b] == "Up to 1,000 ft. only with the\n  second fuel."


def test_ditto_points_to_the_cell_it_repeats() -> None:
    """`above` skips other dittos and stays in the column."""
    text = GOLDEN[0][1]
    [grid] = find_grids(text)
    dittos = [cell for cell in grid.cells if cell.ditto]
    repeated = [grid.above(cell) for cell in dittos]
    assert [text[slice(*c.span)] for c in repeated if c] == ["2,650", "+7", "No limit"]


def test_locate_says_grid_and_cell() -> None:
    """An offset in a cell gives that cell, between cells the grid, outside nothing."""
    text = "Some words first.\n\n" + GOLDEN[0][1]
    grids = find_grids(text)
    for cell in grids[0].cells:
        for offset in (cell.span[0], cell.span[1] - 1):
            assert locate(grids, offset) == (grids[0], cell)
        assert cell in grids[0].row_cells(cell)
    assert locate(grids, 3) is None
    label = text.index("Weak")
    assert locate(grids, label) == (grids[0], None)


def test_no_row_is_a_copy() -> None:
    """Grids hold spans that lie in the text and are trimmed, never words of their own."""
    for _, text, _ in GOLDEN:
        for grid in find_grids(text):
            for cell in grid.cells:
                for a, b in (cell.span, *cell.row, *cell.column):
                    assert 0 <= a < b <= len(text)
                    assert text[a:b] == text[a:b].strip()


def _spans_inside(grid: Grid, text: str) -> bool:
    return all(0 <= a < b <= len(text) for cell in grid.cells for a, b in (cell.span, *cell.row))


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.text(alphabet="ab 12+.,-|*\t()…  \u3000do", max_size=60), max_size=12).map(
        "\n".join
    )
)
def test_any_text_is_taken(text: str) -> None:
    """No text raises, and cells never lie outside it or overlap."""
    grids = find_grids(text)
    assert all(_spans_inside(grid, text) for grid in grids)
    spans = sorted(cell.span for grid in grids for cell in grid.cells)
    assert all(a[1] <= b[0] for a, b in pairwise(spans))


def test_long_garbage_is_refused_not_chewed() -> None:
    """Lines beyond any table's width and thousands of gaps give no grid."""
    assert find_grids("1  " * 100_000) == []
    assert find_grids(("a | 1 " * 4000 + "\n") * 3) == []


def test_heading_above_a_blank_line_is_the_caption() -> None:
    """What a table is of, and its unit, stands in the sentence or title above it."""
    table = "Weight lb.   Clean   Flaps full\n41,000       100     85\n36,000       94      80\n"
    for head in (
        "44. Stalling speeds, m.p.h. I.A.S., engines idling:",
        "   38. Speeds of approach, m.p.h. I.A.S.",
        "STALLING SPEEDS, M.P.H.",
    ):
        text = f"{head}\n\n{table}"
        [grid] = find_grids(text)
        assert grid.caption and text[slice(*grid.caption)] == head.strip()
    text = f"The stall is gentle and comes with some shaking of the tail, at\nabout 80.\n\n{table}"
    [grid] = find_grids(text)
    assert grid.caption is None


def test_sentence_over_a_list_heads_its_rows_whole() -> None:
    """A sentence that ends in a colon and runs over two lines heads the list below it."""
    text = (
        "   5. Rated powers.-The makers give these for the standard air, each\nengine:\n"
        "    Take-off ........... 960 b.h.p.\n    Climb .............. 805 b.h.p.\n"
    )
    [grid] = find_grids(text)
    a, b = grid.cells[0].row[0]
    assert text[a:b] == text[text.index("5.") : text.index(":") + 1]


def test_prose_between_lists_heads_nothing() -> None:
    """The tail of a sentence before a list is no heading, nor is it a caption."""
    text = (
        "The engine has twelve cylinders in two banks, with a\n"
        "supercharger of one stage and two speeds, moderate (M) and full (S).\n"
        "    Bore ............... 5.2 in.\n    Stroke ............. 5.75 in.\n"
    )
    [grid] = find_grids(text)
    assert [[text[slice(*s)] for s in c.row] for c in grid.cells] == [["Bore"], ["Stroke"]]
    assert grid.caption is None


def test_heading_centred_over_a_series_of_numbers() -> None:
    """A heading set over the middle one of a series of weights or heights holds for all."""
    text = (
        "Condition                    Weight, lb.\n"
        "                   30,000      34,000      36,500\n"
        "Flaps full          98          104         108\n"
        "Glide               108         115         119\n"
    )
    cells = shown(text)
    assert len(cells) == 6
    assert all(" | Weight, lb. > " in cell for cell in cells)


def test_labels_flush_right_make_no_groups() -> None:
    """Numbers set flush right are rows of their own, though their indents differ."""
    text = (
        "  Height    Speed\n    ft.     m.p.h.\nSea level     216\n    2,000     221\n"
        "   10,000     233\n      do.     230\n"
    )
    assert [cell for cell in shown(text) if "Speed" in cell] == [
        "Height > ft. > Sea level | Speed > m.p.h. | 216",
        "Height > ft. > 2,000 | Speed > m.p.h. | 221",
        "Height > ft. > 10,000 | Speed > m.p.h. | 233",
        "Height > ft. > 10,000 | Speed > m.p.h. | 230",
    ]


def test_work_is_linear_on_long_paragraphs() -> None:
    """Twice the lines take about twice the steps, in a table and in prose like one."""
    import sys

    def steps(text: str) -> int:
        count = 0

        def tick(*_: object) -> None:
            nonlocal count
            count += 1

        sys.setprofile(tick)
        try:
            find_grids(text)
        finally:
            sys.setprofile(None)
        return count

    for line in ("Climb       2,850   +9\n", "The  boost is   +6  here and\n", "a 1 ... 2 b\n"):
        assert steps(line * 1200) < 2.5 * steps(line * 600)


@pytest.mark.parametrize("value", ["+ 6", "2 850", "4 1/2", "4 ½", "± 10"])
def test_a_number_with_a_blank_is_never_cut(value: str) -> None:
    """A blank inside a number that falls on a column's edge does not part the number."""
    at = value.index(" ") + 1
    text = (
        "Rating     Boost      Speed\n"
        f"Climb      {value.rjust(10 + at)[:10]}\n"
        "Cruise     +4         120\n"
        f"Idle       {' ' * (11 - at)}{value}\n"
        "Dive       +2         300\n"
    )
    assert any(cell.endswith(f"| {value}") for cell in shown(text))


def test_cells_run_together_are_parted_by_the_look_of_their_columns() -> None:
    """Where a blank was lost, the other rows' cells say where one ends and the next begins."""
    text = (
        "Rating             R.p.m.   Boost   Fuel\n"
        "Take-off to 1,000 ft.  3,000  +12  84½\n"
        "Climb (1 hr.) 2,850   +9      70½\n"
        "Rich               2,650   +7 60½\n"
        "Weak               2,650   +4      48½\n"
    )
    assert shown(text) == [
        "Rating > Take-off to 1,000 ft. | R.p.m. | 3,000",
        "Rating > Take-off to 1,000 ft. | Boost | +12",
        "Rating > Take-off to 1,000 ft. | Fuel | 84½",
        "Rating > Climb (1 hr.) | R.p.m. | 2,850",
        "Rating > Climb (1 hr.) | Boost | +9",
        "Rating > Climb (1 hr.) | Fuel | 70½",
        "Rating > Rich | R.p.m. | 2,650",
        "Rating > Rich | Boost | +7",
        "Rating > Rich | Fuel | 60½",
        "Rating > Weak | R.p.m. | 2,650",
        "Rating > Weak | Boost | +4",
        "Rating > Weak | Fuel | 48½",
    ]


def test_heading_centred_over_the_room_of_two_columns() -> None:
    """A heading set in the middle of two wide columns of short figures covers both."""
    text = (
        "                                   Boost lb./sq.in.\n"
        "Rating                 M gear              S gear\n"
        "Take-off to 1,000 ft.  +12                 -\n"
        "Climb                  +9                  +7\n"
    )
    assert shown(text) == [
        "Rating > Take-off to 1,000 ft. | Boost lb./sq.in. > M gear | +12",
        "Rating > Climb | Boost lb./sq.in. > M gear | +9",
        "Rating > Climb | Boost lb./sq.in. > S gear | +7",
    ]


def test_heading_of_one_column_only_stays_there() -> None:
    """A heading of two lines beside one of a single line takes no other column."""
    text = (
        "                     Boost\n"
        "Rating      R.p.m.   lb./sq.in.   Oil °C.\n"
        "Take-off    3,000    +12          90\n"
        "Climb       2,850    +9           85\n"
    )
    assert [cell.split(" | ")[1] for cell in shown(text)] == [
        "R.p.m.", "Boost > lb./sq.in.", "Oil °C."
    ] * 2  # fmt: skip


def test_notice_above_a_list_heads_no_column() -> None:
    """A warning set in the middle of the page before a list is not a heading of its figures."""
    text = (
        "               WARNING: not above 2,850 r.p.m. for more than 5 mins.\n\n"
        "Fuel ............................ 3 lb.\n"
        "Oil ............................. 80 lb.\n"
    )
    assert shown(text) == ["Fuel |  | 3 lb.", "Oil |  | 80 lb."]


def test_stub_head_level_with_the_middle_of_two_decks() -> None:
    """A stub head printed between the lines of the decks breaks neither of them."""
    text = (
        "               Low gear M.S.     High gear F.S.\n"
        " Condition\n"
        "               R.p.m.   Boost    R.p.m.   Boost\n"
        " Take-off      3,000     +12       -        -\n"
        " Climb         2,850     +9      2,850     +9\n"
    )
    assert shown(text)[2:] == [
        "Condition > Climb | Low gear M.S. > R.p.m. | 2,850",
        "Condition > Climb | Low gear M.S. > Boost | +9",
        "Condition > Climb | High gear F.S. > R.p.m. | 2,850",
        "Condition > Climb | High gear F.S. > Boost | +9",
    ]
