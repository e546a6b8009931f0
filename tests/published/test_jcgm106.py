"""Worked examples of JCGM 106:2012 on conformity; "from memory" where not seen in print."""

import pytest

from reconcile.measure.conformity import (
    Interval,
    acceptance_interval,
    conformance_probability,
    decide,
    guard_band_of,
)
from reconcile.measure.distributions import Gamma
from reconcile.measure.risks import global_risks, guard_band_for_consumer

BEARING = Gamma(4, 0.25)  # mean 1 um, standard deviation 0.5 um
RUN_OUT = Interval(upper=2.0)


@pytest.mark.parametrize(
    ("p", "z"), [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33), (0.999, 3.09)]
)
def test_table_of_one_sided_probabilities(p, z):
    """7.3.3, table 1: z for a conformance probability; from memory."""
    assert guard_band_of(1.0, p) == pytest.approx(z, abs=5e-3)
    assert conformance_probability(-z, 1.0, Interval(upper=0.0)) == pytest.approx(p, abs=3e-3)


def test_breakdown_voltage():
    """Zener diode: y = -5.47 V, u = 0.05 V, limit -5.40 V, p = 0.92; from memory."""
    p = conformance_probability(-5.47, 0.05, Interval(upper=-5.40))
    assert p == pytest.approx(0.92, abs=5e-3)
    assert p == pytest.approx(0.919243, abs=5e-7)


@pytest.mark.parametrize(("k", "risk"), [(2.0, 0.023), (1.64, 0.05)])
def test_guard_band_of_two_u(k, risk):
    """8.3.2: at an acceptance limit of T - 2u the risk is at most 2.3 %; from memory."""
    u, limit = 0.3, Interval(upper=10.0)
    edge = acceptance_interval(limit, k * u).upper
    assert 1 - conformance_probability(edge, u, limit) == pytest.approx(risk, abs=6e-4)
    assert decide(edge, u, limit, coverage_factor=k).is_accepted


def test_speed_trap():
    """8.3.3 guarded rejection: 100 km/h, u 2 %, 99.9 % sure from 107 km/h; from memory."""
    # u goes with the speed: v - z 0.02 v = 100.
    v = 100 / (1 - 0.02 * guard_band_of(1.0, 0.999))
    assert v == pytest.approx(107, abs=0.5)
    p = conformance_probability(v, 0.02 * v, Interval(upper=100.0))
    assert p == pytest.approx(0.001, rel=1e-6)


def test_ball_bearings_by_simple_acceptance():
    """9.5.4: 4.2 % do not conform; consumer's risk 0.8 % with A = T."""
    risks = global_risks(BEARING, 0.25, RUN_OUT)
    assert risks.non_conforming == pytest.approx(0.042, abs=5e-4)
    assert risks.consumer == pytest.approx(0.008, abs=5e-4)
    assert risks.consumer == pytest.approx(0.00801911, abs=5e-9)
    assert risks.producer == pytest.approx(0.0174446, abs=5e-8)


def test_ball_bearings_with_a_guard_band():
    """9.5.4: a consumer's risk of 0.1 % asks for an acceptance limit of about 1.7 um."""
    guard = guard_band_for_consumer(BEARING, 0.25, RUN_OUT, 0.001)
    assert 2.0 - guard == pytest.approx(1.7, abs=0.05)
    assert 2.0 - guard == pytest.approx(1.671829, abs=5e-7)
    risks = global_risks(BEARING, 0.25, RUN_OUT, acceptance_interval(RUN_OUT, guard))
    assert risks.consumer == pytest.approx(0.001, rel=1e-6)
    assert risks.producer == pytest.approx(0.0754939, abs=5e-7)
