"""The JSON Schema of a profile."""

from __future__ import annotations

from typing import Any

from reconcile.publish.rows import STANDINGS
from reconcile.records import BOUNDS, FORMS

PROFILE_SCHEMA = "reconcile profile"
_TEXT: dict[str, Any] = {"type": "string"}
_NUMBER: dict[str, Any] = {"type": "number"}
_WHOLE: dict[str, Any] = {"type": "integer", "minimum": 0}
_TEXTS: dict[str, Any] = {"type": "array", "items": _TEXT}
_NUMBERS: dict[str, Any] = {"type": "array", "items": _NUMBER}
_DIGEST: dict[str, Any] = {"type": "string", "pattern": "^sha256:[0-9a-f]{64}$"}


def _object(properties: dict[str, Any], required: tuple[str, ...]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": properties,
        "required": list(required),
        "additionalProperties": False,
    }


def _said(what: dict[str, Any], description: str) -> dict[str, Any]:
    return {**what, "description": description}


_ENDS = {
    "nominal": _said(_NUMBER, "Single value in SI."),
    "lo": _said(_NUMBER, "Lower end in SI, a printed tolerance in it."),
    "hi": _said(_NUMBER, "Upper end in SI, a printed tolerance in it."),
    "standard_uncertainty": _said(_NUMBER, "In SI; absent where none is known."),
    "unit": _said(_TEXT, "UCUM code of the SI unit."),
}
_VALUE = _object(
    {
        **_ENDS,
        "half_width": _said(_NUMBER, "Half the printed step in SI."),
        "reference_form": {"enum": list(FORMS)},
        "datum": _said(_TEXT, "Datum of a fixed_datum pressure, a slug of tables/units/datums."),
        "absolute": _said(
            _object(_ENDS, ("unit",)), "The same as absolute pressure, where no ambient is needed."
        ),
    },
    ("unit", "reference_form"),
)
_LIMIT = _object(
    {
        "row_id": _TEXT,
        "limit_id": _TEXT,
        "position": _WHOLE,
        "standing": {"enum": list(STANDINGS)},
        "parameter": _TEXT,
        "condition": _TEXT,
        "bound": {"enum": list(BOUNDS)},
        "kind": _TEXT,
        "difference": {"type": "boolean"},
        "time_limit_s": _said(_NUMBER, "[s]; absent where the paper states none."),
        "time_unlimited": _said({"type": "boolean"}, "The paper says it is not limited."),
        "gear": _said({"enum": ["low", "high"]}, "Supercharger gear, where named."),
        "fuel_grade": _said(_TEXT, "Fuel grade, where named."),
        "mixture": _said({"enum": ["weak", "rich"]}, "Mixture, where named."),
        "applies_to": _TEXT,
        "notes": _TEXT,
        "as_written": _TEXT,
        "source_id": _TEXT,
        "page": _WHOLE,
        "line": _WHOLE,
        "time_s": _said(_NUMBER, "[s] into a timed transcript."),
        "value": {"anyOf": [_VALUE, {"type": "null"}]},
    },
    ("row_id", "limit_id", "standing", "parameter", "bound", "time_unlimited", "value"),
)
_UNPROVED_KEYS = (
    "row_id",
    "parameter",
    "condition",
    "bound",
    "standing",
    "applies_to",
    "gear",
    "fuel_grade",
    "mixture",
)
_UNPROVED = _object(
    {key: _LIMIT["properties"][key] for key in _UNPROVED_KEYS},
    ("row_id", "parameter", "bound", "standing"),
)
_PERFORMANCE = _object(
    {
        "name": _TEXT,
        "parameter": _TEXT,
        "condition": {"type": ["string", "null"]},
        "x_parameter": _TEXT,
        "x_unit": _TEXT,
        "x": _said({**_NUMBERS, "minItems": 3}, "Ascending, in SI."),
        "unit": _TEXT,
        "reference_form": {"enum": list(FORMS)},
        "y": {**_NUMBERS, "minItems": 3},
        "u": _said(
            {"type": "array", "items": {"type": ["number", "null"]}, "minItems": 3},
            "Standard uncertainty of each y.",
        ),
        "gap_after": _said(
            {"type": "array", "items": _WHOLE},
            "Indices of x after which a printed line is left out: do not interpolate across.",
        ),
        "row_ids": _TEXTS,
        "source_id": _TEXT,
        "page": _WHOLE,
        "heading": _TEXT,
    },
    ("name", "parameter", "x_parameter", "x_unit", "x", "unit", "reference_form", "y", "u"),
)


def make_profile_schema(version: str, schema: str, draft: str) -> dict[str, Any]:
    """JSON Schema of a profile.

    Parameters
    ----------
    version : str
        Schema version.
    schema : str
        What the file's own "schema" says.
    draft : str
        Address of the JSON Schema draft.
    """
    counts: dict[str, Any] = dict.fromkeys((str(s) for s in STANDINGS), _WHOLE)
    properties = {
        "schema": {"const": schema},
        "digest": _DIGEST,
        "schema_version": {"const": version},
        "tool": _object({"name": _TEXT, "version": _TEXT}, ("name", "version")),
        "title": _TEXT,
        "cautions": {**_TEXTS, "minItems": 1},
        "sources": {
            "type": "array",
            "items": {"type": "object", "required": ["source_id", "name", "sha256"]},
        },
        "verified_only": {"type": "boolean"},
        "left_out": _object(counts, ()),
        "table_digests": {"type": "object", "additionalProperties": _DIGEST},
        "limits": {"type": "array", "items": _LIMIT},
        "unproved": _said(
            {"type": "array", "items": _UNPROVED},
            "Limits that are printed but not proved, without their numbers.",
        ),
        "conditions": _said(
            {
                "type": "object",
                "additionalProperties": {"type": "object", "additionalProperties": _TEXTS},
            },
            "Row ids by condition (blank: none stated), then by parameter.",
        ),
        "drills": _said(
            {
                "type": "array",
                "items": _object(
                    {"name": {"enum": ["start", "warm-up", "run-up", "stop"]}, "steps": _TEXTS},
                    ("name", "steps"),
                ),
            },
            "Row ids of each drill's figures in the order printed.",
        ),
        "performance": {"type": "array", "items": _PERFORMANCE},
    }
    return {
        "$schema": draft,
        "title": "Profile",
        "description": "Verified limits of a machine for models: everything in SI, with "
        "uncertainty and reference form.",
        **_object(properties, tuple(properties)),
    }
