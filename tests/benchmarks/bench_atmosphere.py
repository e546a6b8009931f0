"""The standard atmosphere for 1e6 heights, beside numpy's closed form and two libraries.

Run: ``python tests/benchmarks/bench_atmosphere.py [HEIGHTS]``. Each case runs several times,
interleaved with the others, and the best time counts. Errors are against 40-digit decimal
arithmetic on a sample.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from decimal import Decimal, getcontext
from importlib.util import find_spec

import numpy as np
import pystdatm

from reconcile.measure.atmosphere import height_from_density, height_from_pressure, isa
from reconcile.measure.standard_atmospheres import standard_atmosphere

ROUNDS = 7
BARS = (("two layers, over the closed form", 1.2), ("all layers, over pystdatm", 1.0))


def closed_form(heights):
    """Temperature and pressure of the two lower layers as one would write them in numpy."""
    t = np.maximum(288.15 - 0.0065 * heights, 216.65)
    p = 101325.0 * (t / 288.15) ** 5.255879812716677
    p *= np.exp(-1.5768848e-4 * np.maximum(heights - 11000.0, 0.0))
    return t, p


def pystdatm_state(heights):
    """Temperature and pressure by pystdatm."""
    return pystdatm.temperature(heights), pystdatm.pressure(heights)


def ambiance_state(heights):
    """Temperature and pressure by ambiance (geometric heights)."""
    import ambiance

    air = ambiance.Atmosphere(heights)
    return air.temperature, air.pressure


def exact_pressure(height: float) -> Decimal:
    """Pressure [Pa] by the defining equations, 40 digits."""
    getcontext().prec = 40
    g, r = Decimal("9.80665"), Decimal("287.05287")
    t, p, base, h = Decimal("288.15"), Decimal(101325), Decimal(0), Decimal(height)
    steps = (("11000", "-0.0065"), ("20000", "0"), ("32000", "0.001"), ("47000", "0.0028"))
    steps += (("51000", "0"), ("71000", "-0.0028"), ("80000", "-0.002"))
    for top, gradient in steps:
        slope, end = Decimal(gradient), min(h, Decimal(top))
        warmer = t + slope * (end - base)
        p *= (warmer / t) ** (-g / (r * slope)) if slope else (-g * (end - base) / (r * t)).exp()
        t, base = warmer, Decimal(top)
        if h <= base:
            break
    return p


def best(cases: dict[str, Callable[[], object]]) -> dict[str, float]:
    """Best time of each case [s], the cases taking turns."""
    times = dict.fromkeys(cases, float("inf"))
    for _ in range(ROUNDS):
        for name, case in cases.items():
            start = time.perf_counter()
            case()
            times[name] = min(times[name], time.perf_counter() - start)
    return times


def main() -> int:
    """Print the times and the ratios; 1 where a bar is missed."""
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    rng = np.random.default_rng(2533)
    low = rng.uniform(-1_500.0, 20_000.0, n)
    high = rng.uniform(0.0, 80_000.0, n)
    profile = np.sort(high)
    pressures, densities = isa(high).pressure, isa(high).density
    few = [float(h) for h in high[:20_000]]
    cases: dict[str, Callable[[], object]] = {
        "numpy closed form, two layers": lambda: closed_form(low),
        "ours, two layers": lambda: isa(low),
        "pystdatm, two layers": lambda: pystdatm_state(low),
        "ours, all layers": lambda: isa(high),
        "ours, all layers, ascending": lambda: isa(profile),
        "pystdatm, all layers": lambda: pystdatm_state(high),
        "ours, geometric heights": lambda: isa(high, geometric=True),
        "ours, height from pressure": lambda: height_from_pressure(pressures),
        "ours, height from density": lambda: height_from_density(densities),
    }
    if find_spec("ambiance"):
        cases["ambiance, all layers"] = lambda: ambiance_state(high)
    times = best(cases)
    for name, seconds in times.items():
        print(f"{name:32s}{1e9 * seconds / n:8.1f} ns a height")
    one = best({"ours, one at a time": lambda: [isa(h) for h in few]})
    for name, seconds in one.items():
        print(f"{name:32s}{1e9 * seconds / len(few):8.0f} ns a height")
    sample = rng.choice(high, 300)
    air = isa(sample)
    worst = max(
        abs(Decimal(float(p)) / exact_pressure(float(h)) - 1) for h, p in zip(sample, air.pressure)
    )
    base = standard_atmosphere("iso2533").upper_bases
    back = np.abs(height_from_pressure(isa(high).pressure) / high - 1)[high > 100].max()
    edges = height_from_pressure(isa(np.array(base)).pressure) == np.array(base)
    print(f"largest relative error of pressure {float(worst):.1e} (bar 1e-14)")
    print(f"largest relative error of a round trip above 100 m {back:.1e} (bar 1e-12)")
    print(f"layer edges exact both ways: {bool(edges.all())}")
    ratios = (
        times["ours, two layers"] / times["numpy closed form, two layers"],
        times["ours, all layers"] / times["pystdatm, all layers"],
    )
    for (what, bar), ratio in zip(BARS, ratios):
        print(f"{what}: {ratio:.2f} (bar {bar})")
    return int(any(ratio > bar for (_, bar), ratio in zip(BARS, ratios)) or worst > 1e-14)


if __name__ == "__main__":
    sys.exit(main())
