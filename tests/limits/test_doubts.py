"""What is not plainly said is not plainly read: ranges, units taken over, references, counts."""

from __future__ import annotations

import pytest

from reconcile.reading import read_text


def plain(text: str, tradition: str) -> list[tuple[object, str]]:
    """Number (or ends) and unit of each figure that is given out as plainly read."""
    return [
        ((f.lo, f.hi) if f.lo is not None else f.nominal, f.unit)
        for f in read_text(text, tradition).figures
        if f.status == "read"
    ]


TWO_FIGURES = [
    ("british", "The period was raised from 360 to 420 hours.", [(360, "h"), (420, "h")]),
    ("german", "Laufzeit von 80 auf 100 Stunden erhöht.", [(80, "h"), (100, "h")]),
    ("french", "La durée est portée de 50 à 75 heures.", [(50, "h"), (75, "h")]),
    (
        "italian",
        "Cv. 750 a 2.200 giri/1'.",
        [(750, "75.kgf.m/s"), (2200, "{rev}/min")],
    ),
    ("american", "Climb at 155 mph to 5000.", [(155, "[mi_i]/h")]),
]


@pytest.mark.parametrize(("tradition", "text", "expected"), TWO_FIGURES)
def test_two_values_are_no_range(
    tradition: str, text: str, expected: list[tuple[object, str]]
) -> None:
    """A value that gave way to another, or stands at another, makes no range with it."""
    assert plain(text, tradition)[: len(expected)] == expected
    assert all(not isinstance(number, tuple) for number, _ in plain(text, tradition))


def test_ends_far_apart_are_doubted() -> None:
    """A range whose upper end is many times the lower is not plainly read."""
    assert plain("Hold 5 to 500 psi on the oil.", "american") == []


NO_FIGURES = [
    ("british", "See letter E.O.41/112 and drawing SK.4021/7, stores ref. 27H/1144."),
    ("british", "Aircraft L.1010 to L.1099 only."),
    ("british", "Time 0915 to 1045 hrs."),
    ("british", "Open the cocks of tanks 1, 2, 3 and 4."),
    ("italian", "Velivoli MM. 21345-21390, disegni 2218 e 2219-bis."),
    ("british", "A rotary engine of 1917 type, normal revs."),
]


@pytest.mark.parametrize(("tradition", "text"), NO_FIGURES)
def test_references_counts_and_times_of_day_are_no_figures(tradition: str, text: str) -> None:
    """Numbers of papers, machines, tanks and hours of the day measure nothing."""
    assert plain(text, tradition) == []


DOUBTED = [
    ("british", "Oil pressure 80, fuel 3, coolant 95, oil 70.", 70),
    ("american", "Oil 75 psi and 70, cylinders 205.", 70),
    ("british", "The stalling speed is 320 knots.", 320),
    ("british", "The blower pumps against 45 lb. when the cock is open.", 45),
    ("british", "Magneto drop 800 r.p.m.", 800),
]


@pytest.mark.parametrize(("tradition", "text", "number"), DOUBTED)
def test_what_may_be_another_quantity_is_doubted(tradition: str, text: str, number: int) -> None:
    """A number that may as well be something else, or is named what it can hardly be."""
    figures = {f.nominal: f for f in read_text(text, tradition).figures}
    assert number not in figures or figures[number].status == "ambiguous"


FORMS = [
    ("british", "Pressure drop across the oil filter not over 15 lb/sq in.", "differential"),
    ("german", "Druckabfall im Ölfilter höchstens 1 kg/cm².", "differential"),
    ("german", "Kabinenüberdruck 0,3 atü.", "differential"),
    ("soviet", "Падение давления масла на 1 кг/см2 допускается.", "none"),
    ("british", "Supply 60 lb/sq in. above atmosphere.", "gauge"),
    ("american", "WAR EMERGENCY, water on: 64 in. Hg.", "absolute"),
    ("soviet", "Держать 930 мм рт. ст.; масла не менее 5 кг/см2.", "absolute"),
]


@pytest.mark.parametrize(("tradition", "text", "form"), FORMS)
def test_words_beside_a_pressure_say_what_it_is_counted_from(
    tradition: str, text: str, form: str
) -> None:
    """Drops, rises and words such as "above atmosphere" go before the usage of a parameter."""
    assert read_text(text, tradition).figures[0].reference_form == form


def test_pairs_in_two_units_are_read_by_the_first() -> None:
    """Later pairs go without units, and agree in size with the units of the first."""
    text = "NEVER EXCEED 212 MPH (184 KNOTS), MANEUVERING 136 (118), FLAPS EXTENDED 105 (91)"
    found = [(f.nominal, f.unit) for f in read_text(text, "american").figures]
    assert found == [
        (212, "[mi_i]/h"), (184, "[kn_i]"), (136, "[mi_i]/h"), (118, "[kn_i]"),
        (105, "[mi_i]/h"), (91, "[kn_i]"),
    ]  # fmt: skip


def limits(text: str, tradition: str) -> dict[object, tuple[str | None, str, object]]:
    """Parameter, bound and time limit by number."""
    reading = read_text(text, tradition)
    return {
        figure.nominal: (limit.parameter, limit.bound, limit.time_limit_s)
        for figure, limit in zip(reading.figures, reading.limits, strict=True)
    }


def test_times_to_height_limit_nothing() -> None:
    """In a table of heights a time is how long the climb takes; in one of ratings, a limit."""
    climb = limits(
        "Height ft.  Rate ft./min.  Time mins.\n"
        "0           2,150          0\n5,000       2,010          2.4\n",
        "british",
    )
    assert climb[2010] == ("rate of climb", "nominal", None)
    ratings = limits(
        "                  Start    Steigflug (30 Min.)   Dauer\n"
        "Drehzahl U/min    2700     2400                  2250\n"
        "Ladedruck ata     1,42     1,30                  1,15\n",
        "german",
    )
    assert ratings[2400] == ("engine speed", "max", 1800)
    assert ratings[2250][2] is None


@pytest.mark.parametrize(
    ("text", "number", "bound"),
    [
        ("If the oil pressure falls below 45 lb./sq. in., land.", 45, "min"),
        ("Dilute when temperatures under -10°C. are forecast.", -10, "max"),
        ("Oil pressure: red line 60 psi (min.) and 100 psi (max.)", 60, "min"),
        ("Not to exceed 350 knots below 5,000 ft. nor 455 knots at any height.", 455, "max"),
        ("Do not take off until the oil reads 15° C. and the coolant 60° C.", 60, "min"),
    ],
)
def test_bounds_by_words(text: str, number: int, bound: str) -> None:
    """Falls that are watched for, brackets behind a figure, words shared by two."""
    assert limits(text, "british")[number][1] == bound
