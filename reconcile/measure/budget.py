"""Uncertainty budgets: what each source adds to a value, labelled and printable.

A budget keeps its sources apart. What the paper itself allows (a *printed tolerance*) is
listed but never added to how well the number is known; where nothing is known the budget
says so and takes it for no nought. An input that two figures share, a datum or the air of
the day, carries the same `source` in both budgets, and goes out of their difference.

References
----------
[GUM] JCGM 100:2008, Guide to the expression of uncertainty in measurement.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import erf, floor, inf, isinf, sqrt
from typing import TYPE_CHECKING, Any

from reconcile.errors import MeasureError, OutOfRangeError, UsageError
from reconcile.measure.contributions import (
    Contribution,
    Expanded,
    coverage_factor_of,
    half_width_contribution,
)

if TYPE_CHECKING:
    from reconcile.measure.ambient import Ambient
    from reconcile.measure.quantity import Quantity
    from reconcile.records import Form


@dataclass(frozen=True, slots=True)
class Budget:
    """A value with the contributions to its uncertainty.

    Parameters
    ----------
    name, value, unit
        Of the result.
    contributions : tuple of Contribution
    correlations : mapping of (name, name) to coefficient
        Of inputs that were found together; pairs not named are uncorrelated.
    """

    name: str
    value: float
    unit: str
    contributions: tuple[Contribution, ...]
    correlations: Mapping[tuple[str, str], float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        names = [c.name for c in self.contributions]
        if len(set(names)) != len(names):
            raise UsageError("two contributions go by one name", expected="a name for each")
        for (a, b), r in self.correlations.items():
            if not {a, b} <= set(names) or a == b:
                raise UsageError(f"a correlation of {a!r} and {b!r}", expected="two of the inputs")
            if not -1.0 <= r <= 1.0:
                raise OutOfRangeError(f"a correlation of {r:g}", expected="-1 to 1")

    @property
    def is_complete(self) -> bool:
        """True where something is known of every counted contribution."""
        return all(c.u is not None for c in self.contributions if c.counted)

    @property
    def standard_uncertainty(self) -> float | None:
        """Combined standard uncertainty of the known part; None where nothing is known.

        References
        ----------
        [GUM] 5.1.2, 5.2.2.
        """
        if not any(c.u is not None for c in self.contributions if c.counted):
            return None
        # Rounding may leave a variance of fully correlated inputs a hair below nought.
        return sqrt(max(sum(self._variances().values()), 0.0))

    def _variances(self) -> dict[str, float]:
        """Each counted contribution's part of the variance; they add up to the whole."""
        known = {
            c.name: c.contribution
            for c in self.contributions
            if c.counted and c.contribution is not None
        }
        parts = {name: share * share for name, share in known.items()}
        for (a, b), r in self.correlations.items():
            if a in known and b in known:
                both = r * known[a] * known[b]
                parts[a] += both
                parts[b] += both
        return parts

    @property
    def degrees(self) -> float:
        """Effective degrees of freedom by the Welch-Satterthwaite formula.

        Raises
        ------
        MeasureError
            Inputs of finite degrees of freedom are correlated: the formula does not hold.

        References
        ----------
        [GUM] G.4.1.
        """
        total = self.standard_uncertainty
        if not total:
            return inf
        tied = {name for pair, r in self.correlations.items() if r for name in pair}
        small = 0.0
        for c in self.contributions:
            if c.counted and c.contribution and not isinf(c.degrees):
                if c.name in tied:
                    raise MeasureError(
                        "effective degrees of freedom hold for independent inputs only, and "
                        f"{c.name} is correlated with another",
                        do="state a coverage factor",
                    )
                small += (c.contribution / total) ** 4 / c.degrees
        return 1.0 / small if small else inf

    def expanded(
        self, probability: float = 0.95, *, coverage_factor: float | None = None
    ) -> Expanded:
        """Expanded uncertainty.

        Parameters
        ----------
        probability : float
            Coverage probability; the factor is then that of the t-distribution with the
            effective degrees of freedom, cut to a whole number.
        coverage_factor : float, optional
            The factor itself, 2 say; `probability` is then that of the normal law.

        Returns
        -------
        expanded : Expanded

        Raises
        ------
        MeasureError
            Nothing is known of the uncertainty, or only part of it.

        References
        ----------
        [GUM] 6.2, G.4.1, G.6.4.

        Examples
        --------
        >>> one = Contribution("scatter", "readings", 0.0, 2.0, degrees=16)
        >>> round(Budget("length", 0.0, "nm", (one,)).expanded(0.99).coverage_factor, 2)
        2.92
        """
        u = self.standard_uncertainty
        if u is None or not self.is_complete:
            raise MeasureError(
                f"nothing is known of the uncertainty of {self.name or 'this value'}, or only "
                "part of it",
                do="give what is missing, or use the known part for what it is",
            )
        if coverage_factor is not None:
            if not 0.0 < coverage_factor < inf:
                raise OutOfRangeError(
                    f"a coverage factor of {coverage_factor:g}", expected="more than 0"
                )
            covered = erf(coverage_factor / sqrt(2.0))
            return Expanded(coverage_factor * u, coverage_factor, covered, inf)
        degrees = self.degrees
        # Correlated shares of large degrees may come out a bit under a whole number.
        whole = degrees if isinf(degrees) else max(float(floor(degrees + 1e-9)), 1.0)
        factor = coverage_factor_of(probability, whole)
        return Expanded(factor * u, factor, probability, whole)

    def rows(self) -> list[dict[str, Any]]:
        """The budget as plain rows, largest share first, what is stated apart last.

        Returns
        -------
        rows : list of dict
            With name, label, value, u, distribution, sensitivity, contribution, share (of
            the variance, 0 to 1; None where it is not counted or not known), unit, degrees.
        """
        parts = self._variances()
        whole = sum(parts.values())
        rows: list[dict[str, Any]] = []
        for c in self.contributions:
            share = parts[c.name] / whole if c.name in parts and whole > 0.0 else None
            rows.append(
                {
                    "name": c.name,
                    "label": c.label,
                    "value": c.value,
                    "u": c.u,
                    "distribution": c.distribution,
                    "sensitivity": c.sensitivity,
                    "contribution": c.contribution,
                    "share": share,
                    "unit": c.unit,
                    "degrees": c.degrees,
                }
            )
        rows.sort(key=lambda row: (row["share"] is None, -(row["share"] or 0.0)))
        return rows

    def difference(self, other: Budget, name: str = "difference") -> Budget:
        """Budget of this value less another, shared inputs counted once.

        Parameters
        ----------
        other : Budget
            In the same unit.
        name : str

        Returns
        -------
        budget : Budget

        Raises
        ------
        MeasureError
            The units differ.
        """
        if self.unit != other.unit:
            raise MeasureError(
                f"a difference of {self.unit or 'a bare number'} and "
                f"{other.unit or 'a bare number'}",
                do="bring both to one unit",
            )
        joined: dict[str, Contribution] = {}
        renamed: list[dict[str, str]] = []
        for budget, sign, side in ((self, 1.0, "first"), (other, -1.0, "second")):
            names: dict[str, str] = {}
            for c in budget.contributions:
                key = f"source {c.source}" if c.source else f"{side} {c.name}"
                if key in joined:
                    c = replace(c, sensitivity=joined[key].sensitivity + sign * c.sensitivity)
                    joined[key] = replace(joined[key], sensitivity=c.sensitivity)
                else:
                    shown = c.name if c.source else f"{side}: {c.name}"
                    joined[key] = replace(c, name=shown, sensitivity=sign * c.sensitivity)
                names[c.name] = joined[key].name
            renamed.append(names)
        correlations: dict[tuple[str, str], float] = {}
        for budget, names in zip((self, other), renamed):
            for (a, b), r in budget.correlations.items():
                correlations[names[a], names[b]] = r
        return Budget(
            name, self.value - other.value, self.unit, tuple(joined.values()), correlations
        )

    def covariance(self, other: Budget) -> float:
        """Covariance of two values through the inputs they share.

        Raises
        ------
        MeasureError
            The uncertainty of a shared input is not known.
        """
        mine = {c.source: c for c in self.contributions if c.source and c.counted}
        total = 0.0
        for c in other.contributions:
            shared = mine.get(c.source) if c.counted and c.source else None
            if shared is None:
                continue
            if shared.contribution is None or c.contribution is None:
                raise MeasureError(f"nothing is known of the shared input {c.source!r}")
            total += shared.contribution * c.contribution
        return total


def budget_of(
    quantity: Quantity,
    form: Form | None = None,
    height_m: float | None = None,
    *,
    ambient: Ambient | None = None,
) -> Budget:
    """Uncertainty budget of a figure in SI.

    Parameters
    ----------
    quantity : Quantity
    form : str, optional
        Reference form wanted of a pressure; its own by default.
    height_m : float, optional, [m]
    ambient : Ambient, optional
        The air around, as for `Quantity.absolute`.

    Returns
    -------
    budget : Budget
        Of the nominal value, else of the upper end, else of the lower one.

    Raises
    ------
    MeasureError
        The figure was not read, or as `Quantity.absolute`.
    """
    if not quantity.is_read:
        raise MeasureError("the figure was not read, so it has no uncertainty")
    wanted = quantity.form if form is None else form
    own = quantity.exact_si()
    values, zeros = own, []
    if wanted != quantity.form:
        values, _ = quantity.exact_in_form(wanted, height_m, ambient=ambient)
        zeros = _zeros(quantity, wanted, height_m, ambient)
    nominal, lo, hi = values
    value = next(float(x) for x in (nominal, hi, lo) if x is not None)
    written = next(float(x) for x in (own[0], own[2], own[1]) if x is not None)
    row, half = quantity.row, quantity.exact_half_width()
    unit, turned = row.si_unit, _SIGN.get(quantity.form, 1.0) * _SIGN.get(wanted, 1.0)
    entries = [
        half_width_contribution(
            "last printed place",
            "none known" if half is None else "resolution",
            written,
            None if half is None else float(half),
            unit=unit,
            sensitivity=turned if wanted != quantity.form else 1.0,
        )
    ]
    if quantity.nominal is not None and not (lo is None and hi is None):
        # One-sided and lopsided tolerances too: rectangular between the ends (GUM 4.3.8).
        ends = [nominal if end is None else end for end in (lo, hi)]
        width = abs(float((ends[1] or 0) - (ends[0] or 0)))
        entries.append(
            half_width_contribution(
                "tolerance as printed", "printed tolerance", value, width / 2.0, unit=unit
            )
        )
    if row.u_rel:
        linear = row.scale == "linear" and not quantity.is_difference
        scaled = written - float(row.offset) if linear else written
        entries.append(
            Contribution(
                f"factor of {row.symbol or row.slug}",
                "conversion",
                float(row.factor),
                abs(float(row.factor)) * row.u_rel,
                sensitivity=scaled / float(row.factor),
                unit=f"{unit} per {row.symbol or row.slug}",
                source=f"factor:{row.slug}",
            )
        )
    return Budget(str(quantity), value, unit, (*entries, *zeros))


_SIGN: dict[str, float] = {"below_ambient": -1.0}


def _zeros(
    quantity: Quantity, wanted: Form, height_m: float | None, ambient: Ambient | None
) -> list[Contribution]:
    """What the zeros add when a pressure goes from its own form to another.

    With s the sign a form counts with: reading = s_out (s_in x + zero_in - zero_out).
    """
    from reconcile.measure.ambient import ambient_at
    from reconcile.measure.datums import find_datum

    if ambient is None and height_m is not None:
        ambient = ambient_at(height_m)
    out = _SIGN.get(wanted, 1.0)
    around = {"gauge", "below_ambient"}
    if quantity.form == "differential" and quantity.partner == "ambient":
        around.add("differential")
    entries = []
    if quantity.form in around and wanted in around:
        return []
    for form, sensitivity in ((quantity.form, out), (wanted, -out)):
        if form == "fixed_datum":
            datum = find_datum(quantity.datum)
            entries.append(
                half_width_contribution(
                    f"datum {datum.name}",
                    "datum",
                    float(datum.pressure),
                    float(datum.half_width),
                    unit="Pa",
                    source=f"datum:{datum.slug}",
                    sensitivity=sensitivity,
                )
            )
        elif form in around and ambient is not None:
            entries.append(
                half_width_contribution(
                    f"air around: {ambient.how}",
                    "atmosphere",
                    float(ambient.pressure),
                    float(ambient.half_width),
                    unit="Pa",
                    source=f"ambient:{ambient.how}:{float(ambient.pressure)!r}",
                    sensitivity=sensitivity,
                )
            )
    return entries
