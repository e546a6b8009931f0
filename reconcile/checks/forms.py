"""What two figures are compared as: one kind, and reference forms with a known zero.

A bare pressure does not say what it is counted from. It takes the form natural to what is
measured (tables/notation/forms), else that of the figure beside it.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from reconcile.checks.rounding import judge
from reconcile.checks.sides import side_of
from reconcile.checks.words import words
from reconcile.measure.units import unit_row
from reconcile.records import Figure
from reconcile.reference import load_rows

FORMLESS = ("unknown", "none", "differential")
_BARE = {"[psi]": "[lb_av]", "kgf/cm2": "kg"}
"""Pressures that are written with the bare name of a mass."""
_COLUMNS = frozenset({"[in_i'Hg]", "mm[Hg]", "cm[Hg]"})
_LEAST_INTAKE = 20000
_MOST_INTAKE = 350000
"""Pa: below and above these an intake pressure is hardly one. Common practice, no source."""


@cache
def natural_forms() -> dict[str, str]:
    """Reference form by parameter, where every tradition uses the same."""
    return {
        row["parameter"]: row["form"]
        for row in load_rows("notation/forms")
        if not row["traditions"]
    }


@cache
def _quantities() -> dict[str, str]:
    return {row["parameter"]: row["quantity"] for row in load_rows("checks/same_quantity")}


def quantity_of(parameter: str | None) -> str | None:
    """The parameter by which figures are compared: boost is a manifold pressure."""
    return _quantities().get(parameter or "", parameter)


_LENGTHS = frozenset({"altitude", "length"})


def _same_dimension(a: Figure, b: Figure) -> bool:
    """Kinds that readers tell apart by words alone: a height is a length."""
    return {a.kind, b.kind} == _LENGTHS


def of_one_kind(a: Figure, b: Figure) -> tuple[Figure, Figure]:
    """Bare pounds or kilograms read as a pressure are a mass beside a mass.

    Two bare ones are masses where only so they agree.
    """
    mass_a, mass_b = _as_mass(a), _as_mass(b)
    if mass_a is not None and mass_b is not None:
        if a.unit != b.unit and _clash(a, b) and not _clash(mass_a, mass_b):
            return mass_a, mass_b
    elif mass_a is not None and b.kind == "mass":
        return mass_a, b
    elif mass_b is not None and a.kind == "mass":
        return a, mass_b
    return a, b


def settled(a: Figure, b: Figure) -> tuple[Figure, Figure, str]:
    """The two with an open unit settled by the other figure, and what was settled.

    A gallon that may be Imperial or U.S. is the one that agrees with the litres beside it.
    """
    pair = [a, b]
    said = ""
    for at, (one, other) in enumerate(((a, b), (b, a))):
        if one.status != "ambiguous" or one.kind != other.kind or not _clash(one, other):
            continue
        for candidate in one.candidates:
            quantity = candidate.quantity
            if quantity.nominal != one.nominal or quantity.unit == one.unit:
                continue
            reading = replace(one, quantity=quantity)
            if not _clash(reading, other):
                pair[at] = reading
                said = f"{one.as_written} is read with the unit that agrees: {candidate.reason}"
    return pair[0], pair[1], said


def _as_mass(figure: Figure) -> Figure | None:
    """A pressure written with the name of a mass alone, as that mass."""
    mass = _BARE.get(figure.unit)
    if mass is None or words("per-area").search(figure.as_written):
        return None
    bare = replace(figure.quantity, unit=mass, unit_slug="", kind="mass", form="none")
    return replace(figure, quantity=bare, parameter=None)


def common_forms(a: Figure, b: Figure, parameter: str | None) -> tuple[str, str]:
    """Forms to compare in; only a form that is not known is supplied.

    A pressure without form takes the form natural to what is measured, else the other's.
    """
    forms = [str(a.reference_form), str(b.reference_form)]
    for at, (one, other) in enumerate(((a, b), (b, a))):
        theirs = str(other.reference_form)
        if forms[at] not in FORMLESS:
            if theirs == "below_ambient" and forms[at] == "absolute" and _is_small(one):
                forms[at] = theirs  # a bare in.Hg beside a suction
        elif theirs not in FORMLESS:
            forms[at] = _form_beside(one, other, parameter) if forms[at] == "unknown" else theirs
    if forms == ["unknown", "unknown"] and {a.unit, b.unit} & _COLUMNS and _clash(a, b):
        # Pounds beside inches of mercury, and not the same as they stand: boost beside
        # manifold pressure.
        if a.unit == "[psi]":
            return "fixed_datum", "absolute"
        if b.unit == "[psi]":
            return "absolute", "fixed_datum"
    return forms[0], forms[1]


def _clash(a: Figure, b: Figure) -> bool:
    one, other = side_of(a), side_of(b)
    return one is not None and other is not None and judge(one, other) == "contradicts"


def supposed_gauge(figure: Figure, form: str) -> bool:
    """Whether a bare pressure is taken for a gauge one."""
    return form == "gauge" and figure.reference_form == "unknown"


def _is_small(figure: Figure) -> bool:
    side = side_of(figure, form="absolute")
    return side is not None and max(side.si) < _LEAST_INTAKE


def _form_beside(one: Figure, other: Figure, parameter: str | None) -> str:
    """Form of a bare pressure beside one whose form is known.

    Beside an intake pressure pounds are boost and inches absolute, unless only the other
    way fits. Beside an absolute one that no intake could have, it is taken for gauge, as
    bare pressures are.
    """
    theirs = str(other.reference_form)
    natural = natural_forms().get(parameter or "", "")
    if natural not in ("", "absolute", "fixed_datum"):
        return natural
    if theirs not in ("absolute", "fixed_datum"):
        return theirs
    known = side_of(other)
    if theirs == "absolute" and known is not None and min(known.si) > _MOST_INTAKE:
        return "gauge"
    signed = one.as_written.lstrip()[:1] in ("+", "-", "−", "–")
    guesses: tuple[str, ...] = ("absolute",)
    if one.unit == "[psi]":
        guesses = ("fixed_datum",) if signed else ("fixed_datum", "absolute")
    elif signed:
        guesses = ("absolute", "fixed_datum")  # millimetres counted from 760
    for guess in guesses:
        side = side_of(one, form=guess)
        if side is not None and known is not None and judge(side, known) != "contradicts":
            return guess
    return guesses[0]


def not_comparable(a: Figure, b: Figure) -> str:
    """Why two figures cannot be compared; blank where they can."""
    for one in (a, b):
        if not one.kind or (one.status == "unread" and not one.candidates):
            return f"{one.as_written!r} is unread"
    if a.kind != b.kind and not _same_dimension(a, b):
        return f"{a.as_written!r} is a {a.kind} and {b.as_written!r} a {b.kind}"
    sides = side_of(a), side_of(b)
    if len({unit_row(side.unit).si_unit for side in sides if side is not None}) > 1:
        return f"{a.as_written!r} and {b.as_written!r} are not of one dimension"
    if a.quantity.is_difference != b.quantity.is_difference:
        return "one is a temperature, the other a difference of temperatures"
    return ""
