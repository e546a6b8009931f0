"""Conversion with uncertainty and reference form: ours beside numpy alone and pint, in one run.

Run: ``python tests/benchmarks/bench_measure.py [FIGURES]``. Medians; the bare numpy multiplies
are the limit, pint's and uncertainties' objects the general-purpose way.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from fractions import Fraction
from statistics import median

import numpy as np

from reconcile.measure.atmosphere import isa
from reconcile.measure.columns import column_to_si
from reconcile.measure.quantity import Quantity

PSI = 6894.757293168361
DATUM = 101325.0


def timed(act: Callable[[], object], repeats: int = 15) -> float:
    """Median seconds of one call, after one to warm up."""
    act()
    taken = []
    for _ in range(repeats):
        began = time.perf_counter()
        act()
        taken.append(time.perf_counter() - began)
    return median(taken)


def show(name: str, seconds: float, figures: int, against: float | None = None) -> None:
    """One line: milliseconds in all, nanoseconds a figure, times the limit."""
    line = f"{name:<58} {1e3 * seconds:9.2f} ms {1e9 * seconds / figures:10.1f} ns"
    print(line + (f" {seconds / against:9.2f} x" if against else ""))


def scalar(figures: int) -> None:
    """One figure at a time, with exact factors."""
    print(f"\n{figures:,} figures one at a time")
    quantities = [
        Quantity(
            Fraction(n % 200, 4), unit="[psi]", kind="pressure", form="fixed_datum",
            resolution=Fraction(1, 4),
        )
        for n in range(figures)
    ]  # fmt: skip
    own = timed(lambda: [q.si for q in quantities], 5)
    absolute = timed(lambda: [q.absolute() for q in quantities], 5)
    show("exact value, half-width, uncertainty in SI (.si)", own, figures)
    show("the same, absolute, with the datum's share", absolute, figures)

    import pint
    from uncertainties import ufloat

    registry = pint.UnitRegistry()
    some = max(1, figures // 20)
    psi = registry.parse_units("psi")
    pascal = registry.parse_units("pascal")
    datum = registry.Quantity(DATUM, "pascal")

    def objects() -> list[object]:
        return [
            registry.Quantity(ufloat(n % 200 / 4, 0.0722), psi).to(pascal) + datum
            for n in range(some)
        ]

    general = timed(objects, 5)
    show("pint + uncertainties objects, absolute", general, some)
    print(f"figures a second, exact: {figures / own:,.0f} (.si), {figures / absolute:,.0f}")


def columns(figures: int) -> None:
    """A column at a time."""
    print(f"\n{figures:,} figures in a column")
    rng = np.random.default_rng(20240601)
    x = rng.uniform(-4.0, 25.0, figures)
    u = rng.uniform(0.05, 0.3, figures)
    limit = timed(lambda: (x * PSI, u * PSI))
    show("bare numpy: two multiplications (the limit)", limit, figures)
    show("numpy: (x k + p, u k)", timed(lambda: (x * PSI + DATUM, u * PSI)), figures, limit)
    own = timed(lambda: column_to_si(x, u=u, unit="[psi]", form="fixed_datum"))
    show("ours: in its own form", own, figures, limit)
    absolute = timed(
        lambda: column_to_si(x, u=u, unit="[psi]", form="fixed_datum", to_form="absolute")
    )
    show("ours: absolute, the datum's share in u", absolute, figures, limit)
    heights = rng.uniform(0.0, 9000.0, figures)
    gauge = abs(x)
    varied = timed(
        lambda: column_to_si(
            gauge, u=u, unit="[psi]", form="gauge", to_form="absolute", height_m=heights
        ),
        5,
    )
    air = timed(lambda: isa(heights).pressure, 5)
    show("ours: gauge to absolute, a height to each figure", varied, figures, limit)
    show("    of which the standard atmosphere", air, figures, limit)
    names = np.array(["[psi]", "[in_i'Hg]", "kPa"], dtype=object)
    mixed_units = names[rng.integers(0, 3, figures)]
    mixed = timed(
        lambda: column_to_si(gauge, u=u, unit=mixed_units, form="fixed_datum", to_form="absolute"),
        5,
    )
    show("ours: three units mixed, named figure by figure", mixed, figures, limit)

    import pint
    from uncertainties import unumpy

    registry = pint.UnitRegistry()
    some = max(1, figures // 100)

    def objects() -> object:
        column = registry.Quantity(unumpy.uarray(x[:some], u[:some]), "psi").to("pascal")
        return column + registry.Quantity(DATUM, "pascal")

    general = timed(objects, 3)
    show("pint + uncertainties arrays, absolute", general, some)
    print(f"ours is {general / some / (absolute / figures):,.0f} times as fast a figure")


def main() -> None:
    """Both, for the number of figures given."""
    figures = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    scalar(max(1000, figures // 50))
    columns(figures)


if __name__ == "__main__":
    main()
