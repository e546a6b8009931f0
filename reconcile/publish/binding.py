"""Which limits bind at an operating point, by what margin, and for how long it may be held."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import inf
from typing import TYPE_CHECKING, Any

from reconcile.errors import MeasureError, UsageError
from reconcile.publish.profile import Profile
from reconcile.publish.profile_choice import check_choice
from reconcile.reference import load_rows

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity

COVERAGE = 2.0
"""Margins smaller than this many standard uncertainties of the limit are "at the limit"."""
_ISSUED = 1e-14
"""Relative rounding of issued numbers: a point set to the limit itself is not beyond it."""
_QUARTER = 0.25
"""Within a range, this part of its width at each end is the most that is "at the limit": the
middle of a narrow range is inside it, however coarsely it was printed."""
STATES = ("exceeded", "not met", "at the limit", "within", "cannot tell")
BROKEN = STATES[:2]
"""States of a limit that is not kept: a maximum exceeded, a minimum not met."""


@dataclass(frozen=True, slots=True)
class Binding:
    """One limit set against the operating point."""

    parameter: str
    condition: str
    bound: str
    limit: float | None
    """The side nearest the operating point, in SI and in the limit's own reference form."""
    value: float | None
    """The operating point, in the same unit and form."""
    margin: float | None
    """Room left before the limit, in SI; negative beyond it."""
    margin_u: float | None
    """Margin in standard uncertainties of the limit, where that is known."""
    state: str
    """"exceeded", "not met" (a minimum), "at the limit", "within" or "cannot tell"."""
    reason: str
    unit: str
    reference_form: str
    time_limit_s: float | None
    time_unlimited: bool
    row_id: str
    applies_to: str
    """What the limit holds for, as written; not judged here beyond gear, fuel and mixture."""
    as_written: str = ""
    """The limit's own figure; blank for one that is not proved."""
    gear: str = ""
    fuel_grade: str = ""
    mixture: str = ""
    """What the limit holds for alone, where it says so."""


@dataclass(frozen=True, slots=True)
class RatingVerdict:
    """Whether one rating permits the operating point."""

    rating: str
    state: str
    """The worst state among its limits."""
    time_s: float | None
    """Shortest of the times its limits state; None where none is stated."""
    time_unlimited: bool
    """The paper says its time is not limited."""


@dataclass(frozen=True, slots=True)
class OperatingPoint:
    """What a profile says of an operating point."""

    bindings: tuple[Binding, ...]
    """Every limit on the parameters given, the tightest first."""
    ratings: tuple[RatingVerdict, ...]
    """Every rating with a limit on them, in the order printed."""
    rating: str | None
    """Of the ratings that permit the point, the one that permits it longest."""
    time_s: float | None
    """How long that one permits it; None where it states no time or has no limit."""
    time_unlimited: bool
    unchecked: tuple[str, ...]
    """Parameters of the operating point that the profile does not limit."""

    @property
    def exceeded(self) -> tuple[Binding, ...]:
        """Limits that are not kept, whatever their condition: minima not met with them."""
        return tuple(b for b in self.bindings if b.state in BROKEN)


@cache
def _ratings() -> frozenset[str]:
    """Conditions that are ratings of the engine, by the vocabulary."""
    rows = load_rows("notation/conditions-english")
    return frozenset(row["value"] for row in rows if row["group"] == "rating")


@cache
def _engine() -> frozenset[str]:
    """Parameters of the engine itself, which ratings are about."""
    return frozenset(row["parameter"] for row in load_rows("publish/engine-parameters"))


def _rating_of(condition: str) -> str:
    """The rating a condition belongs to ("combat, S gear" to "combat"), or ""."""
    head = condition.split(",")[0].strip()
    return head if head in _ratings() else ""


def binding_limits(
    profile: Profile,
    *,
    boost: float | Quantity | None = None,
    engine_speed: float | Quantity | None = None,
    height_m: float | None = None,
    temperature: float | Mapping[str, float | Quantity] | None = None,
    condition: str | None = None,
    gear: str | None = None,
    fuel_grade: str | None = None,
    mixture: str | None = None,
    **others: float | Quantity,
) -> OperatingPoint:
    """Which limits of a profile bind at an operating point, by what margin, for how long.

    Parameters
    ----------
    profile : Profile
    boost : float or Quantity, optional, [Pa]
        A number is pressure over the limit's own datum, as a boost gauge shows it; it is
        held against limits on boost and, where they need no ambient, on manifold pressure.
    engine_speed : float or Quantity, optional, [1/s]
    height_m : float, optional, [m]
        Geopotential height: held against limits on altitude, and the ambient pressure for
        limits that need it.
    temperature : float or mapping, optional, [K]
        A number is the outside air's; a mapping gives temperatures by parameter, e.g.
        ``{"coolant outlet temperature": 378.15}``.
    condition : str, optional
        Look at limits of this condition, and at those with none, alone.
    gear, fuel_grade, mixture : str, optional
        "low" or "high"; "100"; "weak" or "rich". Limits for another are left out.
    **others : float or Quantity
        Other parameters in SI with underscores, e.g. ``oil_pressure``; a pressure is in the
        limit's own reference form.

    Returns
    -------
    OperatingPoint

    Raises
    ------
    UsageError
        Nothing was given to hold against the limits.
    UnknownTermError
        The profile has no limit for that condition or fuel grade, or the gear or mixture is
        no such word.

    Notes
    -----
    Only bounds can bind: nominal and approximate figures are left out. A margin below
    2 standard uncertainties of the limit is called "at the limit", but in a range no more
    than a quarter of its width at each end. A rating permits the
    point when none of its limits is exceeded or undecided; a limit that is printed but not
    proved leaves it undecided. Limits stated without a condition count where they are on an
    engine parameter that the rating itself says nothing of.
    """
    given: dict[str, float | Quantity] = {k.replace("_", " "): v for k, v in others.items()}
    if boost is not None:
        given["boost"] = boost
    if engine_speed is not None:
        given["engine speed"] = engine_speed
    if height_m is not None:
        given["altitude"] = height_m
    if isinstance(temperature, Mapping):
        given.update(temperature)
    elif temperature is not None:
        given["outside air temperature"] = temperature
    if not given:
        raise UsageError("no operating point was given", do="give at least one value")
    check_choice(profile, condition, gear, fuel_grade, mixture)
    wanted = {"gear": gear, "fuel_grade": fuel_grade, "mixture": mixture}

    def _concerns(limit: dict[str, Any]) -> bool:
        if condition is not None and limit.get("condition", condition) != condition:
            return False
        return all(w is None or limit.get(field, w) == w for field, w in wanted.items())

    bindings, seen = [], set()
    for limit in profile.limits:
        parameter = limit["parameter"]
        name = parameter
        if name == "manifold pressure" and name not in given and "boost" in given:
            name = "boost"
        if name not in given or limit["bound"] not in ("max", "min", "range"):
            continue
        if not _concerns(limit):
            continue
        seen.add(name)
        bindings.append(_hold(limit, given[name], height_m, over_datum=name != parameter))
    for limit in profile.unproved:
        name = limit["parameter"]
        if name == "manifold pressure" and name not in given and "boost" in given:
            name = "boost"
        if name in given and limit["bound"] in ("max", "min", "range") and _concerns(limit):
            bindings.append(_unproved(limit))
    bindings.sort(key=lambda b: (STATES.index(b.state), _tightness(b)))
    ratings = _judge(bindings, profile)
    best = _longest(ratings)
    return OperatingPoint(
        bindings=tuple(bindings),
        ratings=tuple(ratings),
        rating=best.rating if best else None,
        time_s=best.time_s if best and not best.time_unlimited else None,
        time_unlimited=best.time_unlimited if best else False,
        unchecked=tuple(name for name in given if name not in seen),
    )


def _fields(limit: Mapping[str, Any]) -> dict[str, str]:
    return {name: limit.get(name, "") for name in ("gear", "fuel_grade", "mixture")}


def _tightness(binding: Binding) -> float:
    """Margin as a share of the limit, so that unlike parameters can be put in order."""
    if binding.margin is None or binding.limit is None:
        return inf
    return binding.margin / (abs(binding.limit) or 1.0)


def _hold(
    limit: dict[str, Any], given: float | Quantity, height_m: float | None, *, over_datum: bool
) -> Binding:
    """One limit against one value."""
    value = limit["value"]
    said: dict[str, Any] = {
        "parameter": limit["parameter"],
        "condition": limit.get("condition", ""),
        "bound": limit["bound"],
        "unit": value["unit"] if value else "",
        "reference_form": value["reference_form"] if value else "none",
        "time_limit_s": limit.get("time_limit_s"),
        "time_unlimited": limit["time_unlimited"],
        "row_id": limit["row_id"],
        "applies_to": limit.get("applies_to", ""),
        "as_written": limit.get("as_written", ""),
        **_fields(limit),
    }
    blank: dict[str, Any] = {"limit": None, "value": None, "margin": None, "margin_u": None}
    if value is None:
        return Binding(**said, **blank, state="cannot tell", reason="the limit has no SI value")
    try:
        x = _in_form_of(value, given, height_m, over_datum=over_datum)
    except MeasureError as fault:
        return Binding(**said, **blank, state="cannot tell", reason=fault.what)
    sides = _sides(limit["bound"], value)
    if not sides:
        return Binding(**said, **blank, state="cannot tell", reason="the limit has no number")
    edge, sign = min(sides, key=lambda side: (side[0] - x) * side[1])
    margin = (edge - x) * sign
    if abs(margin) <= _ISSUED * abs(edge):
        margin = 0.0
    u = value.get("standard_uncertainty")
    room = COVERAGE * u if u else 0.0
    if len(sides) == 2:
        room = min(room, _QUARTER * abs(sides[1][0] - sides[0][0]))
    if margin < 0:
        state, reason = ("exceeded", "above") if sign > 0 else ("not met", "below")
        reason += " the limit"
        if u and -margin < COVERAGE * u:
            reason += f", by less than {COVERAGE:g} of its standard uncertainties"
    elif u and margin < room:
        state, reason = "at the limit", f"within {COVERAGE:g} standard uncertainties of the limit"
    elif margin == 0:
        state, reason = "at the limit", "equal to the limit"
    else:
        state, reason = "within", "inside the limit"
    if value["reference_form"] == "unknown":
        state, reason = "cannot tell", "the limit's reference form is not known"
    return Binding(
        **said,
        limit=edge,
        value=x,
        margin=margin,
        margin_u=margin / u if u else None,
        state=state,
        reason=reason,
    )


def _unproved(limit: dict[str, Any]) -> Binding:
    """A limit that is printed, but not proved: it may bind, and nobody knows where."""
    return Binding(
        parameter=limit["parameter"],
        condition=limit.get("condition", ""),
        bound=limit["bound"],
        limit=None,
        value=None,
        margin=None,
        margin_u=None,
        state="cannot tell",
        reason=f"a limit is printed, but it is {limit['standing']}",
        unit="",
        reference_form="none",
        time_limit_s=None,
        time_unlimited=False,
        row_id=limit["row_id"],
        applies_to=limit.get("applies_to", ""),
        **_fields(limit),
    )


def _sides(bound: str, value: dict[str, Any]) -> list[tuple[float, int]]:
    """Edges of what is allowed, each with the sign its margin counts with."""
    nominal, lo, hi = (value.get(k) for k in ("nominal", "lo", "hi"))
    if bound == "max":
        top = nominal if nominal is not None else hi
        return [] if top is None else [(top, 1)]
    if bound == "min":
        bottom = nominal if nominal is not None else lo
        return [] if bottom is None else [(bottom, -1)]
    return [(edge, sign) for edge, sign in ((lo, -1), (hi, 1)) if edge is not None]


def _in_form_of(
    value: dict[str, Any], given: float | Quantity, height_m: float | None, *, over_datum: bool
) -> float:
    """The operating point in the unit and reference form of a limit."""
    form = value["reference_form"]
    if isinstance(given, int | float):
        if not over_datum or form == "fixed_datum":
            return float(given)
        from fractions import Fraction

        from reconcile.measure.quantity import Quantity

        given = Quantity(Fraction(given), unit="Pa", kind="pressure", form="fixed_datum")
    si = given.si
    if si.unit != value["unit"]:
        raise MeasureError(f"the value is in {si.unit}, the limit in {value['unit']}")
    if form not in ("none", "unknown"):
        if form == "differential":
            if given.form != form:
                raise MeasureError("a differential limit needs a differential value")
        else:
            si = given.in_form(form, height_m, datum=value.get("datum", ""))
    if si.nominal is None:
        raise MeasureError("the value has no single number")
    return si.nominal


def _judge(bindings: list[Binding], profile: Profile) -> list[RatingVerdict]:
    """Each rating's verdict, in the order the ratings are printed."""
    verdicts = []
    for rating in dict.fromkeys(_rating_of(c) for c in profile.conditions):
        own = [b for b in bindings if rating and _rating_of(b.condition) == rating]
        if not own:
            continue
        times = [b.time_limit_s for b in own if b.time_limit_s is not None]
        unlimited = any(b.time_unlimited for b in own)
        # Of the engine's parameters that the rating is silent on, the limits stated without
        # a condition hold; a limit of the rating's own is the closer word.
        spoken = {b.parameter for b in own}
        own += [
            b
            for b in bindings
            if not b.condition and b.parameter not in spoken and b.parameter in _engine()
        ]
        worst = min((b.state for b in own), key=STATES.index)
        if worst not in BROKEN and any(b.state == "cannot tell" for b in own):
            worst = "cannot tell"
        verdicts.append(
            RatingVerdict(
                rating,
                worst,
                min(times) if times else None,
                not times and unlimited,
            )
        )
    return verdicts


def _longest(ratings: list[RatingVerdict]) -> RatingVerdict | None:
    """Of the ratings that permit the point, the one with the longest stated time."""
    good = [r for r in ratings if r.state in ("within", "at the limit")]

    def length(rating: RatingVerdict) -> float:
        # A rating that states no time at all permits nothing for sure.
        return inf if rating.time_unlimited else -1.0 if rating.time_s is None else rating.time_s

    return max(good, key=length, default=None)
