"""Suppositions about units, reference forms and conversions: what only a pair can show.

Where one number is right under another unit, either the label is wrong, or the other
number was worked out with the wrong unit. Both are supposed; where the figure names its
unit in so many words ("Imperial"), the label is the less likely to be wrong.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache

from reconcile.checks.damage import Supposition
from reconcile.checks.show import form_word
from reconcile.checks.sides import STANDARD_PRESSURE, Side, scale_of
from reconcile.checks.words import words
from reconcile.errors import UnknownUnitError
from reconcile.measure.units import unit_row
from reconcile.reference import load_rows

_GENERIC = "wrong_unit_label"
_FORMS = ("absolute", "gauge", "fixed_datum")
_ATMOSPHERES = frozenset({"att", "kgf/cm2", "atm"})


@cache
def _confusions() -> dict[str, tuple[tuple[str, str, float], ...]]:
    found: dict[str, list[tuple[str, str, float]]] = {}
    for row in load_rows("checks/confusions"):
        unit, other, cause = row["unit"], row["other"], row["cause"]
        found.setdefault(unit, []).append((other, cause, float(Fraction(row["weight"]))))
        found.setdefault(other, []).append((unit, cause, float(Fraction(row["back"]))))
    return {unit: tuple(others) for unit, others in found.items()}


@cache
def _rough() -> dict[tuple[str, str], tuple[Fraction, ...]]:
    found: dict[tuple[str, str], tuple[Fraction, ...]] = {}
    for row in load_rows("checks/rough_factors"):
        factor = Fraction(row["factor"])
        for at, times in (
            ((row["unit"], row["other"]), factor),
            ((row["other"], row["unit"]), 1 / factor),
        ):
            found[at] = (*found.get(at, ()), times)
    return found


def ucum_of(side: Side) -> str:
    """UCUM code of the side's unit."""
    return unit_row(side.unit).ucum


def suppose_label(side: Side) -> Iterator[Supposition]:
    """The same number under each unit or form it is apt to be confused with."""
    code = ucum_of(side)
    others = _confusions().get(code, ())
    generic = sum(w for _, cause, w in others if cause == _GENERIC) or 1.0
    for other, cause, often in others:
        try:
            relabelled = side.relabelled(unit=other)
        except UnknownUnitError:  # a unit the registry lacks cannot be supposed
            continue
        weight = often if cause != _GENERIC else often / generic
        reason = f"the number holds as {_name(other)}, not as {_name(side.unit)}"
        yield Supposition(cause, relabelled, weight, reason)
    if side.kind == "pressure" and side.form in _FORMS:
        for form in _FORMS:
            if form != side.form:
                weight = 0.6 if {form, side.form} == {"absolute", "gauge"} else 0.4
                reason = f"the number is {form_word(form)}, not {form_word(side.form)}"
                yield Supposition("gauge_absolute", side.relabelled(form=form), weight, reason)


def cause_of_confusion(a: Side, b: Side) -> str:
    """Cause that names the confusion of the two sides' units; blank where it has none."""
    other = ucum_of(b)
    for unit, cause, _ in _confusions().get(ucum_of(a), ()):
        if unit == other:
            return cause
    return ""


def label_is_named(side: Side, cause: str) -> bool:
    """Whether the figure says in words what the supposition denies."""
    role = "names-form" if cause == "gauge_absolute" else "names-unit"
    return bool(words(role).search(side.text))


def _name(unit: str) -> str:
    row = unit_row(unit)
    return row.symbol or row.name


def converted(to: Side, source: Side) -> Side:
    """`to` with the numbers that `source` would have given it, rounded as `to` is printed."""
    exact = sorted(to.scale.number(si) for si in source.si)
    if len(exact) == 2 and to.ends[0] > to.ends[-1]:
        exact.reverse()
    place = fitting_place(exact[-1], to)
    return to.renumbered(tuple(round(x / place) * place for x in exact), place)


def fitting_place(number: Fraction, like: Side) -> Fraction:
    """A last place for `number`, `like`'s where that leaves three or four figures."""
    place = like.place
    while abs(number) >= 10**4 * place and place < 1:
        place *= 10
    while place > abs(number) / 100 and number:
        place /= 10
    return place


def suppose_conversion(wrong: Side, right: Side) -> Iterator[tuple[Supposition, float]]:
    """Ways in which `wrong` was worked out from `right` by a faulty conversion.

    Yields
    ------
    supposition : Supposition
        `wrong` with the number it ought to have.
    misfit : float
        Distance of the printed number from the one the fault would have given, in
        half-widths of its rounding; at most 1.
    """
    if len(wrong.ends) != len(right.ends) or wrong.scale == right.scale:
        return
    meant = converted(wrong, right)
    for cause, weight, reason, wrongly in _faulty_ways(wrong, right):
        misfits = []
        for printed, source in zip(wrong.ends, right.ends):
            expected = wrongly(source)
            width = max(wrong.place / 2, abs(expected) / 200)
            misfits.append(float(abs(printed - expected) / width) if width else 9.0)
        if max(misfits) <= 1.0 + 1e-9:
            yield Supposition(cause, meant, weight, reason), max(misfits)


def _faulty_ways(wrong: Side, right: Side):  # type: ignore[no-untyped-def]
    to, source = wrong.scale, right.scale
    ratio = source.factor / to.factor
    plain = not (to.offset or source.offset)
    # Multiplied where it should have been divided.
    yield (
        "conversion_inverted",
        1.0,
        "multiplied where one divides, or the reverse",
        lambda x: x / ratio,
    )
    if wrong.kind == "temperature" and not wrong.is_difference:
        yield (
            "conversion_inverted",
            0.5,
            "the formula for the other direction was used",
            lambda x: source.number(to.si(x)),
        )
        yield (
            "fahrenheit_celsius",
            0.6,
            "the 32 degrees between the zeros were forgotten",
            lambda x: x * ratio,
        )
        yield (
            "fahrenheit_celsius",
            0.2,
            "the 32 degrees were taken off, not added",
            lambda x: x * ratio - 32 if ratio > 1 else (x + 32) * ratio,
        )
    elif not plain and wrong.kind == "pressure":
        yield (
            "conversion_inverted",
            0.5,
            "multiplied where one divides, or the reverse",
            lambda x: (x + source.offset / source.factor) / ratio - to.offset / to.factor,
        )
        # A gauge figure next to an absolute one of the same count is more often misnamed.
        often = 1.0 if "fixed_datum" in (wrong.form, right.form) else 0.25
        yield (
            "gauge_absolute",
            often,
            "the number was converted without its zero",
            lambda x: x * ratio,
        )
        # The zero counted twice: an absolute figure given another atmosphere on top.
        for sign, reason in (
            (1, "an atmosphere was added that was already in"),
            (-1, "an atmosphere was taken off that was not in"),
        ):
            yield (
                "gauge_absolute",
                0.5,
                reason,
                lambda x, s=sign: to.number(source.si(x) + s * STANDARD_PRESSURE),
            )
    elif wrong.kind == "pressure":
        for sign, reason in ((1, "an atmosphere was added"), (-1, "an atmosphere was taken off")):
            yield (
                "gauge_absolute",
                0.5,
                reason,
                lambda x, s=sign: to.number(source.si(x) + s * STANDARD_PRESSURE),
            )
    units = {ucum_of(wrong), ucum_of(right)}
    if _ATMOSPHERES & units:
        # A figure in true atmospheres is rare; where "atm" is printed, the label is suspect.
        often = 0.5 if "att" in units else 0.1
        step = Fraction(101325) / Fraction("98066.5")
        for times in (step, 1 / step):
            yield (
                "technical_standard_atmosphere",
                often,
                "one was taken for the other",
                lambda x, t=times: to.number(source.si(x) * t),
            )
    yield from _with_other_units(wrong, right)
    for times in _rough().get((ucum_of(right), ucum_of(wrong)), ()):
        if plain:
            shown = times if times > 1 else 1 / times
            yield (
                "rough_factor",
                1.0,
                f"the rounded factor {float(shown):g} was used",
                lambda x, t=times: x * t,
            )


def _with_other_units(wrong: Side, right: Side):  # type: ignore[no-untyped-def]
    to = wrong.scale
    for other, cause, _ in _confusions().get(ucum_of(right), ()):
        if cause == _GENERIC or cause == "technical_standard_atmosphere":
            continue
        try:
            as_other = scale_of(other, right.form, right.ambient, right.datum, right.is_difference)
        except UnknownUnitError:
            continue
        yield (
            cause,
            1.0,
            f"the number was converted as if from {_name(other)}",
            lambda x, s=as_other: to.number(s.si(x)),
        )
    for other, cause, _ in _confusions().get(ucum_of(wrong), ()):
        if cause == _GENERIC or cause == "technical_standard_atmosphere":
            continue
        try:
            as_other = scale_of(other, wrong.form, wrong.ambient, wrong.datum, wrong.is_difference)
        except UnknownUnitError:
            continue
        yield (
            cause,
            1.0,
            f"the number was converted as if to {_name(other)}",
            lambda x, s=as_other: s.number(right.scale.si(x)),
        )
