"""The command profile: the issued limits of a machine, and which of them bind at a point."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from reconcile.commands.output import Form, note, write_rows
from reconcile.errors import ExitCode, UnknownTermError, UsageError

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity
    from reconcile.measure.units import UnitRow
    from reconcile.publish.binding import Binding
    from reconcile.publish.profile import Profile

LIMIT_COLUMNS = (
    "condition",
    "parameter",
    "bound",
    "as_written",
    "nominal",
    "lo",
    "hi",
    "unit",
    "reference_form",
    "standard_uncertainty",
    "time_limit_s",
    "time_unlimited",
    "gear",
    "fuel_grade",
    "mixture",
    "applies_to",
    "row_id",
)
LIMIT_SHOWN = ("condition", "parameter", "bound", "as_written", "time", "row_id")
BINDING_COLUMNS = (
    "state",
    "parameter",
    "condition",
    "bound",
    "as_written",
    "limit",
    "value",
    "margin",
    "margin_u",
    "unit",
    "reference_form",
    "time_limit_s",
    "time_unlimited",
    "reason",
    "gear",
    "fuel_grade",
    "mixture",
    "applies_to",
    "row_id",
    "margin_as_given",
    "unit_as_given",
)
BINDING_SHOWN = ("state", "parameter", "condition", "bound", "as_written", "margin")
_WHERE_SAID = ("gear", "fuel_grade", "mixture", "applies_to")
"""Columns for people that are shown where any limit has something to say there."""


def _quantity(text: str, parameter: str) -> Quantity:
    from reconcile.reading import figure

    return figure(text, parameter=parameter).quantity


def run(
    folder: Path,
    *,
    boost: str,
    engine_speed: str,
    height: str,
    values: list[str],
    condition: str,
    gear: str,
    fuel_grade: str,
    form: Form,
) -> int:
    """List a profile's limits, or those that bind at an operating point.

    Raises
    ------
    UsageError
        A value is not of the form "parameter=figure".
    UnknownTermError
        The profile has no limit on that parameter, or for that condition.
    """
    from reconcile.publish.binding import BROKEN, binding_limits
    from reconcile.publish.profile import load_profile
    from reconcile.publish.profile_choice import check_choice
    from reconcile.reference import near_terms

    profile = load_profile(folder)
    given: dict[str, Any] = {}
    units: dict[str, UnitRow] = {}
    known = {limit["parameter"] for limit in (*profile.limits, *profile.unproved)}
    if boost:
        given["boost"] = _quantity(boost, "boost")
    if engine_speed:
        given["engine_speed"] = _quantity(engine_speed, "engine speed")
    if height:
        from reconcile.commands.tables import parse_height

        given["height_m"] = parse_height(height)
        units["altitude"] = _quantity(height, "altitude").row
    for value in values:
        name, sign, text = value.partition("=")
        if not sign or not name.strip() or not text.strip():
            raise UsageError(
                f"the value {value!r} has no figure", expected='"oil pressure=60 lb/sq.in."'
            )
        name = name.strip()
        if name not in known:
            raise UnknownTermError(
                f"the profile limits no {name!r}", expected=near_terms(name, sorted(known))
            )
        given[name.replace(" ", "_")] = _quantity(text.strip(), name)
    if not given:
        check_choice(profile, condition or None, gear or None, fuel_grade or None, None)
        _write_cautions(profile)
        chosen = {"condition": condition, "gear": gear, "fuel_grade": fuel_grade}
        return _list(profile.limits, profile.left_out, chosen, form)
    units.update((k.replace("_", " "), v.row) for k, v in given.items() if k != "height_m")
    point = binding_limits(
        profile,
        **given,
        condition=condition or None,
        gear=gear or None,
        fuel_grade=fuel_grade or None,
    )
    _write_cautions(profile)
    rows = [_binding_row(b, units) for b in point.bindings]
    shown = BINDING_SHOWN + tuple(c for c in _WHERE_SAID if any(row[c] for row in rows))
    if form is Form.TABLE:
        rows = _for_people(rows, shown)
    write_rows(rows, form, columns=BINDING_COLUMNS, shown=shown)
    for verdict in point.ratings:
        note(f"{verdict.rating}: {verdict.state}{_time(verdict.time_s, verdict.time_unlimited)}")
    for name in point.unchecked:
        note(f"{name}: the profile has no limit on it")
    if point.rating is not None:
        note(f"may be held as {point.rating}{_time(point.time_s, point.time_unlimited)}")
    elif point.ratings:
        note("no rating is known to permit this")
    bad = any(b.state in (*BROKEN, "cannot tell") for b in point.bindings)
    return ExitCode.FINDINGS if bad else ExitCode.CLEAN


def _write_cautions(profile: Profile) -> None:
    for caution in profile.cautions:
        note(f"caution: {caution}")


def _binding_row(binding: Binding, units: dict[str, UnitRow]) -> dict[str, Any]:
    """One limit as a flat row, its margin in SI and in the unit the value was given in."""
    row = {c: getattr(binding, c, None) for c in BINDING_COLUMNS}
    unit = units.get(binding.parameter)
    if unit is None and binding.parameter == "manifold pressure":
        unit = units.get("boost")
    row["room"] = ""
    if binding.margin is None:
        return row
    row["room"] = f"{binding.margin:.4g} {binding.unit}".rstrip()
    if unit is not None and unit.scale == "linear" and unit.si_unit == binding.unit:
        there = binding.margin / float(unit.factor)
        # An exact margin comes through floats a hair off its own number.
        row["margin_as_given"] = float(f"{there:.12g}")
        row["unit_as_given"] = unit.ucum or unit.slug
        row["room"] = f"{there:.4g} {unit.symbol}".rstrip()
    return row


def _for_people(rows: list[dict[str, Any]], shown: Sequence[str]) -> list[dict[str, Any]]:
    """Rows as a table shows them; what reads alike is one line."""
    found: dict[tuple[Any, ...], dict[str, Any]] = {}
    for row in rows:
        # A limit that is not proved shows why, where its figure would stand.
        written = row["as_written"] or f"({row['reason']})"
        row = {**row, "as_written": written, "margin": row["room"]}
        found.setdefault(tuple(row[c] for c in shown), row)
    return list(found.values())


def _time(seconds: float | None, unlimited: bool) -> str:
    if unlimited:
        return ", no limit of time"
    return ", time not stated" if seconds is None else f", {seconds:g} s"


def _list(
    limits: tuple[dict[str, Any], ...],
    left_out: dict[str, int],
    chosen: dict[str, str],
    form: Form,
) -> int:
    rows = []
    for limit in limits:
        if chosen["condition"] and limit.get("condition") != chosen["condition"]:
            continue
        # A limit that names no gear or grade holds in every one.
        if any(
            chosen[field] and limit.get(field, chosen[field]) != chosen[field]
            for field in ("gear", "fuel_grade")
        ):
            continue
        row = {**dict.fromkeys(LIMIT_COLUMNS), **(limit["value"] or {}), **limit}
        row["time"] = _time(limit.get("time_limit_s"), limit["time_unlimited"]).strip(", ")
        if row["time"] == "time not stated":
            row["time"] = ""
        rows.append(row)
    shown = LIMIT_SHOWN + tuple(c for c in _WHERE_SAID if any(row[c] for row in rows))
    write_rows(rows, form, columns=LIMIT_COLUMNS, shown=shown)
    if left_out:
        note("left out: " + ", ".join(f"{n} {standing}" for standing, n in left_out.items()))
    return ExitCode.CLEAN
