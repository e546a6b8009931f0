"""The command profile: the issued limits of a machine, and which of them bind at a point."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from reconcile.commands.output import Form, note, write_rows
from reconcile.errors import ExitCode, UsageError

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity

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
    "applies_to",
    "row_id",
)
BINDING_SHOWN = ("state", "parameter", "condition", "bound", "as_written", "margin", "unit")


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
    """List a profile's limits, or those that bind at a running point.

    Raises
    ------
    UsageError
        A value is not of the form "parameter=figure".
    """
    from reconcile.publish.binding import binding_limits
    from reconcile.publish.profile import load_profile

    profile = load_profile(folder)
    for caution in profile.cautions:
        note(f"caution: {caution}")
    given: dict[str, Any] = {}
    if boost:
        given["boost"] = _quantity(boost, "boost")
    if engine_speed:
        given["engine_speed"] = _quantity(engine_speed, "engine speed")
    if height:
        from reconcile.commands.tables import parse_height

        given["height_m"] = parse_height(height)
    for value in values:
        name, sign, text = value.partition("=")
        if not sign or not name.strip() or not text.strip():
            raise UsageError(f"{value!r}", expected='"oil pressure=60 lb/sq.in."')
        given[name.strip().replace(" ", "_")] = _quantity(text.strip(), name.strip())
    if not given:
        return _list(profile.limits, profile.left_out, condition, form)
    point = binding_limits(
        profile,
        **given,
        condition=condition or None,
        gear=gear or None,
        fuel_grade=fuel_grade or None,
    )
    rows = [{c: getattr(b, c) for c in BINDING_COLUMNS} for b in point.bindings]
    if form is Form.TABLE:
        for row in rows:
            # A limit that is not proved shows why, where its figure would stand.
            row["as_written"] = row["as_written"] or f"({row['reason']})"
    write_rows(rows, form, columns=BINDING_COLUMNS, shown=BINDING_SHOWN)
    for verdict in point.ratings:
        note(f"{verdict.rating}: {verdict.state}{_time(verdict.time_s, verdict.time_unlimited)}")
    for name in point.unchecked:
        note(f"{name}: the profile has no limit on it")
    if point.rating is not None:
        note(f"may be held as {point.rating}{_time(point.time_s, point.time_unlimited)}")
    elif point.ratings:
        note("no rating is known to permit this")
    bad = any(b.state in ("exceeded", "cannot tell") for b in point.bindings)
    return ExitCode.FINDINGS if bad else ExitCode.CLEAN


def _time(seconds: float | None, unlimited: bool) -> str:
    if unlimited:
        return ", no limit of time"
    return ", time not stated" if seconds is None else f", {seconds:g} s"


def _list(
    limits: tuple[dict[str, Any], ...], left_out: dict[str, int], condition: str, form: Form
) -> int:
    rows = []
    for limit in limits:
        if condition and limit.get("condition") != condition:
            continue
        row = {**dict.fromkeys(LIMIT_COLUMNS), **(limit["value"] or {}), **limit}
        row["time"] = _time(limit.get("time_limit_s"), limit["time_unlimited"]).strip(", ")
        if row["time"] == "time not stated":
            row["time"] = ""
        rows.append(row)
    write_rows(rows, form, columns=LIMIT_COLUMNS, shown=LIMIT_SHOWN)
    if left_out:
        note("left out: " + ", ".join(f"{n} {standing}" for standing, n in left_out.items()))
    return ExitCode.CLEAN
