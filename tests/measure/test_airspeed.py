"""Airspeeds: round trips, columns, and what must be refused."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.errors import OutOfRangeError, UsageError
from reconcile.measure import airspeed as speed
from reconcile.measure.atmosphere import isa

machs = st.floats(0, 1)
heights = st.floats(0, 20_000)


@settings(max_examples=60, deadline=None)
@given(machs, heights)
def test_every_speed_comes_back_from_every_other(mach, height):
    """From any one form of a speed all the others follow, the same whichever it was."""
    first = speed.airspeeds(height, mach=mach)
    for kind in ("calibrated", "equivalent", "true", "impact_pressure"):
        value = getattr(first, kind)
        again = speed.airspeeds(height, **{kind: value})
        assert again.mach == pytest.approx(mach, rel=1e-11, abs=1e-160)


@settings(max_examples=40, deadline=None)
@given(st.floats(1, 300), heights)
def test_order_of_the_speeds_above_sea_level(true, height):
    """Aloft, true speed is greatest and calibrated never less than equivalent."""
    air = isa(height)
    if true > air.sound_speed:
        return
    speeds = speed.airspeeds(height, true=true)
    assert speeds.equivalent <= speeds.calibrated * (1 + 1e-14)
    assert speeds.equivalent <= true * (1 + 1e-14)


def test_inverses_one_by_one():
    """Each conversion and its inverse undo each other, for numbers and for columns."""
    pressure, temperature = 50_000.0, 255.0
    for v in (0.0, 1e-9, 55.0, np.array([0.0, 80.0, 150.0])):
        for there, back in (
            (
                speed.equivalent_from_calibrated(v, pressure),
                lambda x: speed.calibrated_from_equivalent(x, pressure),
            ),
            (
                speed.true_from_calibrated(v, pressure, temperature),
                lambda x: speed.calibrated_from_true(x, pressure, temperature),
            ),
            (
                speed.impact_pressure_from_calibrated(v),
                speed.calibrated_from_impact_pressure,
            ),
            (speed.true_from_equivalent(v, 0.7), lambda x: speed.equivalent_from_true(x, 0.7)),
        ):
            assert back(there) == pytest.approx(v, rel=1e-12)


def test_slow_speeds_keep_their_digits():
    """At walking pace impact pressure is half rho v squared, to twelve digits."""
    v = 1e-4
    assert speed.impact_pressure_from_calibrated(v) == pytest.approx(
        0.5 * isa(0.0).density * v * v, rel=1e-12
    )


def test_altimeter_setting_moves_the_static_pressure():
    """With the dial set to a low pressure the machine is in thinner air than it shows."""
    plain = speed.airspeeds(1_000.0, calibrated=80.0)
    low = speed.airspeeds(1_000.0, calibrated=80.0, setting_pa=98_000.0)
    assert low.pressure < plain.pressure
    assert low.true > plain.true
    same = speed.airspeeds(1_000.0, calibrated=80.0, setting_pa=101_325.0)
    assert same.true == pytest.approx(plain.true, rel=1e-13)
    warm = speed.airspeeds(1_000.0, calibrated=80.0, offset_k=15.0)
    assert warm.true > plain.true
    assert warm.equivalent == plain.equivalent


@pytest.mark.parametrize("bad", [-1.0, float("nan"), float("inf"), 341.0])
def test_impossible_and_supersonic_speeds_are_refused(bad):
    """Negative speeds, speeds above sound's and what is no number are refused."""
    with pytest.raises(OutOfRangeError, match=r"expected 0 to|nought or more"):
        speed.impact_pressure_from_calibrated(bad)
    with pytest.raises(OutOfRangeError):
        speed.airspeeds(9_000.0, true=np.array([100.0, bad]))


def test_supersonic_at_height_is_refused():
    """A calibrated speed that would pass Mach 1 at the height is refused, not answered."""
    with pytest.raises(OutOfRangeError, match="below the speed of sound"):
        speed.airspeeds(15_000.0, calibrated=250.0)


def test_mistaken_calls_are_refused():
    """No speed, two speeds, an unknown kind, an impossible pressure: one error each."""
    for wrong in ({}, {"true": 1.0, "mach": 0.1}, {"ground": 50.0}):
        with pytest.raises(UsageError, match="exactly one of"):
            speed.airspeeds(0.0, **wrong)
    with pytest.raises(OutOfRangeError, match="the pressure is not above nought"):
        speed.mach_from_calibrated(50.0, 0.0)
    with pytest.raises(OutOfRangeError, match="the density"):
        speed.true_from_equivalent(50.0, np.array([1.0, float("nan")]))


def test_columns_of_speeds_and_heights():
    """Columns give what single values give; columns of unlike shape are refused."""
    heights, speeds = np.array([0.0, 3_000.0, 9_000.0]), np.array([50.0, 90.0, 120.0])
    columns = speed.airspeeds(heights, calibrated=speeds, offset_k=5.0)
    for i in range(3):
        one = speed.airspeeds(float(heights[i]), calibrated=float(speeds[i]), offset_k=5.0)
        assert columns.true[i] == pytest.approx(one.true, rel=1e-13)
        assert columns.equivalent[i] == pytest.approx(one.equivalent, rel=1e-13)
    with pytest.raises(UsageError, match="do not fit"):
        speed.airspeeds(heights, true=speeds[:2])
    with pytest.raises(UsageError, match="do not fit"):
        speed.true_from_equivalent(speeds, np.ones(2))
    with pytest.raises(UsageError, match="the airspeed is 'fast'"):
        speed.airspeeds(0.0, true="fast")


def test_correction_card():
    """Between rows of a correction card it runs straight; beyond its ends it is refused."""
    card = [(200, -1.0), (100, 4.0), (140, 2.0)]
    assert speed.calibrated_from_indicated(100, card) == 104.0
    assert speed.calibrated_from_indicated(200, card) == 199.0
    assert speed.calibrated_from_indicated(170, card) == pytest.approx(170.5)
    assert speed.calibrated_from_indicated(90, [(90, 1.5)]) == 91.5
    with pytest.raises(OutOfRangeError, match="outside the correction card"):
        speed.calibrated_from_indicated(90, card)
    for bad in ([], [(100, 1), (100, 2)]):
        with pytest.raises(UsageError, match="correction card"):
            speed.calibrated_from_indicated(100, bad)
