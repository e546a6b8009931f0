"""What words make of a figure: bounds, conditions, times, gears and bands, in several tongues.

All texts are made up; what they mean is common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from reconcile.reading import read_text

Said = tuple[str, str, str | None, str | None, str]


def said(text: str, tradition: str = "british") -> list[Said]:
    """Number, unit, parameter, condition and bound of each figure."""
    reading = read_text(text, tradition)
    limits = {limit.figure_ids[0]: limit for limit in reading.limits}
    found = []
    for figure in reading.figures:
        limit = limits[figure.id]
        number = figure.nominal
        shown = str(number) if number is not None else f"{figure.lo}..{figure.hi}"
        found.append((shown, figure.unit, limit.parameter, limit.condition, limit.bound))
    return found


def bounds(text: str, tradition: str = "british") -> list[tuple[str, str, str]]:
    """Number, unit and bound of each figure."""
    return [(number, unit, bound) for number, unit, _, _, bound in said(text, tradition)]


LEAST = {
    ("Oil pressure max. 90 min. 60 lb/sq. in.", "british"): [
        ("90", "[psi]", "max"), ("60", "[psi]", "min"),
    ],
    ("OIL P     75-90  MIN 55 lb/in2", "british"): [
        ("75..90", "[psi]", "range"), ("55", "[psi]", "min"),
    ],
    ("FUEL P    8-10  MIN 6", "british"): [("8..10", "[psi]", "range"), ("6", "[psi]", "min")],
    ("Coolant temp. 90 min. 60°C.", "american"): [("90", "Cel", "nominal"), ("60", "Cel", "min")],
    ("Pneumatic supply 220 (min.), 300 (max.) lb/sq. in.", "british"): [
        ("220", "[psi]", "min"), ("300", "[psi]", "max"),
    ],
    ("Öldruck max. 6 min. 4 kg/cm²", "german"): [("6", "kgf/cm2", "max"), ("4", "kgf/cm2", "min")],
    ("Fuel pressure ...... 10 lb/sq.in. (min. 6)", "british"): [
        ("10", "[psi]", "nominal"), ("6", "[psi]", "min"),
    ],
    ("Pression d'huile 5 kg/cm² (min. 3).", "french"): [
        ("5", "kgf/cm2", "nominal"), ("3", "kgf/cm2", "min"),
    ],
}  # fmt: skip


@pytest.mark.parametrize("case", LEAST)
def test_min_beside_a_gauge_is_no_minute(case: tuple[str, str]) -> None:
    """ "min." behind a pressure or temperature bounds what follows, and its number is no time."""
    assert bounds(*case) == LEAST[case]


def test_min_at_the_head_of_a_row() -> None:
    """ "min" behind a pressure's name in a row's label is its bound, and no unit of the cell."""
    text = (
        "item                    | condition | value | unit\n"
        "Oil pressure min        | flight    | 55    | lb/sq.in.\n"
        "Fuel pressure min       |           | 6     | lb/sq.in.\n"
    )
    assert bounds(text) == [("55", "[psi]", "min"), ("6", "[psi]", "min")]


@pytest.mark.parametrize(
    "text",
    [
        "Oil pressure emergency 5 min. 45 lb.",
        "Oil temp. max 5 min. 105°C",
        "Climb 30 min. 2,850 r.p.m.",
    ],
)
def test_minutes_stay_minutes(text: str) -> None:
    """A time before a greater figure, or behind a rating, is in minutes."""
    assert bounds(text)[0][1] == "min"


LOW = {
    ("The warning light comes on when fuel pressure falls below 6 lb./sq. in.", "british"): "min",
    ("The fuel pressure warning light glows under 10 lb./sq. in.", "british"): "min",
    ("If the oil pressure drops under 45 lb./sq. in. throttle back.", "british"): "min",
    ("The engine is not to be run with less than 60 lb./sq. in. oil pressure.", "british"): "min",
    ("Fällt der Öldruck unter 3 kg/cm², Gas wegnehmen.", "german"): "min",
    ("Si la pression d'huile tombe au-dessous de 3 kg/cm², réduire.", "french"): "min",
    ("Below 95 m.p.h. close the throttles and land ahead.", "british"): "nominal",
    ("If an engine fails below 110 knots close both throttles.", "british"): "nominal",
}


@pytest.mark.parametrize("case", LOW)
def test_what_is_feared_below_is_no_maximum(case: tuple[str, str]) -> None:
    """A fall below a figure, or what is done below it, makes it no upper limit."""
    assert [bound for *_, bound in bounds(*case)] == [LOW[case]]


def test_condition_that_holds_below() -> None:
    """ "with oil below 40°" says when the speed is limited, and limits no temperature."""
    found = bounds("Do not exceed 2,600 r.p.m. with oil below 40°C.")
    assert [bound for *_, bound in found] == ["max", "nominal"]


FLOWN = [
    "Stalling speeds: flaps up 95 m.p.h., flaps down 80 m.p.h.",
    "LIMITATIONS\n44. Stalling speeds:\nFlaps up .... 105 m.p.h.\nFlaps down .. 85 m.p.h.",
    "Approach speeds, flaps down: 110 m.p.h. I.A.S., glide 120 m.p.h.",
    "38. Recommended approach speeds\nFlaps down ..... 110 m.p.h.\nFlaps up ..... 120 m.p.h.",
    "Single-engine safety speed 130 m.p.h.; unstick at 100 m.p.h.",
]


@pytest.mark.parametrize("text", FLOWN)
def test_speeds_that_are_flown_are_no_maxima(text: str) -> None:
    """Stalling, approach and safety speeds are no upper limits, under whatever heading."""
    assert [bound for *_, bound in bounds(text)] == ["nominal"] * 2


def test_list_of_stalling_speeds() -> None:
    """Each speed of a list of stalling speeds is one."""
    assert {parameter for _, _, parameter, _, _ in said(FLOWN[0])} == {"stalling speed"}


def test_flaps_limit_stays() -> None:
    """A speed for flaps or wheels by itself is a limit."""
    assert bounds("Flaps down 140 m.p.h.; undercarriage down 160 m.p.h.") == [
        ("140", "[mi_i]/h", "max"), ("160", "[mi_i]/h", "max"),
    ]  # fmt: skip


BRACKETS = {
    ("COOL T    MAX 120 C (combat 135)", "british"): [None, "combat"],
    ("Oil temperature 90°C. (105°C. in combat for 5 mins.).", "british"): [
        None,
        "combat",
        "combat",
    ],
    ("Boost +6 lb. (take-off +9 lb.)", "british"): [None, "take-off"],
}


CARD = (
    "OIL P     75-90  MIN 55 lb/in2\n"
    "OIL T     MAX 90 C  (combat 100)\n"
    "COOL T    MAX 120 C (combat 135)\n"
    "SUCTION   4-5 in Hg\n"
)


@pytest.mark.parametrize("text", [CARD, CARD[32 + 34 :], CARD[:-20]])
def test_brackets_in_columns(text: str) -> None:
    """Columns that part a bracket leave its words with the figure inside it, and no other."""
    combat = [number for number, _, _, condition, _ in said(text) if condition == "combat"]
    assert combat == [x for x in ("100", "135") if f"combat {x}" in text]


def test_an_entry_of_a_list_heads_nothing() -> None:
    """ "Emergency only: 3,000 r.p.m." is an entry, and no title of the lines below it."""
    text = "Emergency only: 3,000 r.p.m. 5 mins.\nBoost cut-out +25 lb/sq. in. (80 in. Hg).\n"
    assert [condition for *_, condition, _ in said(text)][2:] == [None, None]


@pytest.mark.parametrize("case", BRACKETS)
def test_words_in_brackets_are_of_the_figure_in_them(case: tuple[str, str]) -> None:
    """A condition in brackets with another figure is not said of the one before them."""
    assert [condition for _, _, _, condition, _ in said(*case)] == BRACKETS[case]


BROKEN = {
    ("Oil inlet temperature must not exceed\n90°C. in climb.", "british"): "max",
    ("Oil temperature not to exceed\n105°C. in combat.", "british"): "max",
    ("Oil temperature must not fall below\n40°C.", "british"): "min",
    ("La température d'huile ne doit pas dépasser\n95° C.", "french"): "max",
    ("Die Öltemperatur darf nicht über\n105° C steigen.", "german"): "max",
    ("Boost +9 lb./sq. in., maximum.", "british"): "max",
}


@pytest.mark.parametrize("case", BROKEN)
def test_bound_at_the_end_of_a_line(case: tuple[str, str]) -> None:
    """A bound word at the end of a line, or a clause, is of the figure it leads to or closes."""
    assert [bound for *_, bound in bounds(*case)] == [BROKEN[case]]


def times(text: str, tradition: str = "british") -> list[Fraction | None]:
    """Time limits of the figures that are no times themselves."""
    reading = read_text(text, tradition)
    kinds = {figure.id: figure.kind for figure in reading.figures}
    return [x.time_limit_s for x in reading.limits if kinds[x.figure_ids[0]] != "time"]


TIMED = {
    (
        "Maximum r.p.m. in a dive: 3,150 for not more than 20 seconds. The boost in\n"
        "the dive must not be less than -2 lb./sq. in.",
        "british",
    ): [20, None],
    (
        "Im Sturzflug 2900 U/min höchstens 20 Sekunden. Ladedruck nicht unter 0,9 ata.",
        "german",
    ): [20, None],
    (
        "The minimum oil pressure in flight is 55 lb./sq. in., and the emergency minimum for\n"
        "5 minutes 45 lb./sq. in.",
        "british",
    ): [None, 300],
    ("The oil may reach 105°C. for 3 mins.", "british"): [180],
    ("Take-off: 3,000 r.p.m., +9 lb./sq. in., 5 minutes.", "british"): [300, 300],
    (
        "Test each magneto: the drop should not exceed 150 r.p.m. Do not run at this power for\n"
        "more than 10 seconds.",
        "british",
    ): [None],
}


@pytest.mark.parametrize("case", TIMED)
def test_a_time_is_of_its_own_clause(case: tuple[str, str]) -> None:
    """A time that closes a sentence, or leads to a figure, is of no other figure."""
    assert times(*case) == TIMED[case]


NOTED = (
    "Condition        R.p.m.   Oil temp. °C   Coolant temp. °C\n"
    "Climb            2,850    90             125\n"
    "Cruise           2,650    80             105*\n"
    "* 115°C. for 5 mins.\n"
)
NOTED_GERMAN = (
    "                 Drehzahl   Öltemp. °C   Kühlstoff °C\n"
    "Steigen          2300       85           110*\n"
    "Reise            2100       80           100\n"
    "* 120° C für 5 Minuten.\n"
)


@pytest.mark.parametrize(
    ("text", "tradition", "condition"),
    [(NOTED, "british", "cruise"), (NOTED_GERMAN, "german", "climb")],
)
def test_starred_note(text: str, tradition: str, condition: str) -> None:
    """A starred note is of the column and row of its star, and its time of nothing else."""
    parameter = said(text, tradition)[-2]
    assert parameter[2:4] == ("coolant temperature", condition)
    assert times(text, tradition) == [None] * 6 + [300]


def held(text: str, tradition: str = "british") -> list[tuple[str, ...]]:
    """What each figure that is no height is held to."""
    reading = read_text(text, tradition)
    kinds = {figure.id: figure.kind for figure in reading.figures}
    return [x.applies_to for x in reading.limits if kinds[x.figure_ids[0]] != "altitude"]


GEARED = {
    (
        "                 Gear   R.p.m.   Boost\n"
        "                                 lb/sq. in.\n"
        "Climb            M      2,850    +9\n"
        "                 S      2,700    +7\n",
        "british",
    ): [("M gear",)] * 2 + [("S gear",)] * 2,
    ("BLOWER   RPM   MP\nLOW      2700  48\nHIGH     2600  44", "american"): (
        [("low gear",)] * 2 + [("high gear",)] * 2
    ),
    (
        "Leistung         Lader    Drehzahl   Ladedruck ata\n"
        "Kampfleistung    Boden    2400       1,35\n"
        "Kampfleistung    Höhen    2400       1,30\n",
        "german",
    ): [("first supercharger gear",)] * 2 + [("second supercharger gear",)] * 2,
}


@pytest.mark.parametrize("case", GEARED)
def test_gears_of_a_table(case: tuple[str, str]) -> None:
    """A gear given in a column is kept with each limit of its row."""
    assert held(*case) == GEARED[case]


def test_heights_of_diving_speeds() -> None:
    """Maxima for bands of height differ by their band, which limits nothing itself."""
    text = (
        "Maximum diving speeds:\n"
        "Below 10,000 ft. ........ 430 m.p.h. (374 knots)\n"
        "10,000 to 20,000 ft. .... 400 m.p.h.\n"
        "Above 20,000 ft. ........ 370 m.p.h.\n"
    )
    assert held(text) == [
        ("up to 10000 ft",), ("up to 10000 ft",), ("10000 to 20000 ft",), ("above 20000 ft",),
    ]  # fmt: skip
    found = bounds(text)
    assert [bound for _, unit, bound in found if unit != "[ft_i]"] == ["max"] * 4
    assert "max" not in [bound for _, unit, bound in found if unit == "[ft_i]"]


TALK = (
    "[0:44] Climb, one hour, twenty-eight fifty r.p.m., plus six and a half boost.\n"
    "[1:02] Combat, three thousand revs, plus nine, coolant a hundred and thirty-five"
    " degrees, oil a hundred.\n"
    "[1:15] Max r.p.m. in a dive thirty-one fifty for twenty seconds."
    " Boost not less than minus two.\n"
    "[1:28] Fuel pressure eight to ten pounds, minimum six.\n"
)


def test_talk_that_was_set_down() -> None:
    """Numbers in words are read in a transcript with capitals and stops as in one without."""
    numbers = [(number, bound) for number, unit, bound in bounds(TALK) if unit not in {"h", "s"}]
    assert numbers == [
        ("2850", "max"), ("13/2", "max"), ("3000", "nominal"), ("9", "nominal"),
        ("135", "nominal"), ("100", "nominal"), ("3150", "max"), ("-2", "min"), ("8..10", "range"),
        ("6", "min"),
    ]  # fmt: skip


def test_degrees_and_minutes_by_letter() -> None:
    """ "180 C" is not 18°, and "8m 50s" no height."""
    [hot] = read_text("Oil temperature 180 C", "british").figures
    assert (hot.nominal, hot.status) == (180, "ambiguous")
    [time] = read_text("Climb to height takes 8m 50s", "british").figures
    assert (time.nominal, time.unit) == (Fraction(53, 6), "min")


THINGS = {
    "Maximum oil temperature in climb 95°C.": ["oil temperature"],
    "Oil: two tanks of 16½ gallons each, 33 in all.": ["oil capacity", "oil capacity"],
    "Oxygen: 1,800 lb/sq.in.; 750 litres.": ["oxygen pressure", None],
}


@pytest.mark.parametrize("text", THINGS)
def test_what_is_named_is_not_mistaken(text: str) -> None:
    """Neither a little word nor a tank makes a figure one of something else."""
    assert [parameter for _, _, parameter, _, _ in said(text)] == THINGS[text]


def test_precharge_is_said_or_is_not() -> None:
    """An accumulator's pressure is no precharge where nothing says so."""
    assert said("Hydraulic accumulator 1,800 lb./sq. in.")[0][3] is None
    assert said("Accumulator precharge 600 lb./sq. in.")[0][3] == "precharge"
