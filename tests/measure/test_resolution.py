"""Steps of printed numbers: last place, fractions, and what a column shows."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.errors import UnknownTermError, UsageError
from reconcile.measure.constants import constant
from reconcile.measure.resolution import (
    fraction_step,
    half_width,
    infer_step,
    place_step,
    step_of_fractions,
    trailing_steps,
)

ONE = Fraction(1)


def whole(*values: int) -> list[Fraction]:
    """Whole numbers as fractions."""
    return [Fraction(v) for v in values]


def test_last_place() -> None:
    """67 is good to a half, 67.5 to a twentieth."""
    assert half_width(place_step(0)) == Fraction(1, 2)
    assert half_width(place_step(1)) == Fraction(1, 20)
    assert place_step(-2) == 100


def test_fractions() -> None:
    """7 1/4 was read to quarters; 7 1/2 among quarters too."""
    assert half_width(fraction_step(4)) == Fraction(1, 8)
    assert step_of_fractions([Fraction(15, 2), Fraction(29, 4), Fraction(8)]) == Fraction(1, 4)
    assert step_of_fractions([]) == 1
    with pytest.raises(UsageError):
        fraction_step(0)


def test_trailing_zeros_are_many_things() -> None:
    """3,000 may be good to 1, 10, 50, 100, 500 or 1000; 2,847 only to 1."""
    assert trailing_steps(Fraction(3000), ONE) == (1, 10, 50, 100, 500, 1000)
    assert trailing_steps(Fraction(2847), ONE) == (1,)
    assert trailing_steps(Fraction(0), ONE) == (1,)
    assert trailing_steps(Fraction("2.50"), Fraction(1, 100)) == (
        Fraction(1, 100), Fraction(1, 10), Fraction(1, 2),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("values", "shown"),
    [
        (whole(2850, 2650, 2400, 3000, 2750), 50),
        (whole(3000, 2600, 2400, 2200, 1900), 100),
        (whole(3000, 2840, 2610, 2450, 2390), 10),
        (whole(3000, 2847, 2611), 1),
        (whole(3000), 1),
        (whole(3000, 3000, 3000, 3000), 1),
        (whole(3000, 2000), 1),
        ([], 1),
        (whole(0), 1),
    ],
)
def test_column_shows_its_step(values: list[Fraction], shown: int) -> None:
    """Enough different numbers show the step; one number, or repeats of it, do not."""
    choice = infer_step(values, ONE)
    assert choice.shown == shown
    assert choice.is_coarser == (shown > 1)
    assert choice.printed == 1
    assert sum(p for _, p in choice.odds) == pytest.approx(1.0)


def test_the_choice_is_reported_with_its_effect() -> None:
    """The reason says what was chosen, on how much, and what it changes."""
    coarse = infer_step(whole(2850, 2650, 2400, 3000, 2750), ONE)
    assert "all 5 different numbers are multiples of 50" in coarse.reason
    assert "good to ± 25, not ± 0.5" in coarse.reason
    lone = infer_step(whole(3000), ONE)
    assert "good to ± 0.5; 1 different number would also fit" in lone.reason
    assert "(up to ± 500)" in lone.reason
    plain = infer_step(whole(2847), ONE)
    assert plain.reason == "taken as printed, good to ± 0.5: no coarser step fits"
    decimals = infer_step([Fraction(n) for n in ("4.50", "5.50", "6.00", "9.50")], Fraction("0.01"))
    assert decimals.shown == Fraction(1, 2)
    certain = infer_step([Fraction(100 * n) for n in range(21, 33)], ONE)
    assert "beyond 1000 to 1" in certain.reason


def test_a_step_has_to_be_one() -> None:
    """A printed step of nought is refused."""
    with pytest.raises(UsageError, match="a printed step of 0"):
        infer_step(whole(3000), Fraction(0))


@settings(max_examples=100)
@given(st.lists(st.integers(1, 400), min_size=1, max_size=12), st.sampled_from([1, 5, 10, 50, 100]))
def test_shown_step_fits_all(values: list[int], step: int) -> None:
    """Whatever is shown divides every number, and is never finer than printed."""
    column = [Fraction(v * step) for v in values]
    choice = infer_step(column, ONE)
    assert all((v / choice.shown).denominator == 1 for v in column)
    assert choice.shown >= 1
    assert choice.shown in [s for s, _ in choice.odds]


def test_constants_go_by_name() -> None:
    """A constant that is none is refused with the list."""
    assert constant("old-ice-point") == 273
    with pytest.raises(UnknownTermError, match="no constant 'pi'; expected one of weather"):
        constant("pi")
