"""The limit table as a profile for models: conditions, parameters, bounds, drills, tables.

Everything is in SI with its uncertainty and reference form. Only verified rows are taken
unless asked; what was left out is counted. Nothing is filled in: a field the paper does not
state is absent.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from reconcile.errors import ArtefactError, MissingSourceError
from reconcile.publish.document import PARTS, Document, header_of, rows_digest
from reconcile.publish.performance import PerformanceTable
from reconcile.publish.profile_schema import PROFILE_SCHEMA
from reconcile.publish.profile_tables import find_tables
from reconcile.publish.schemas import versions
from reconcile.publish.side import Cells
from reconcile.reference import load_rows

_VALUE = {
    "nominal": "si_nominal",
    "lo": "si_lo",
    "hi": "si_hi",
    "unit": "si_unit",
    "half_width": "si_half_width",
    "standard_uncertainty": "si_standard_uncertainty",
}
_ABSOLUTE = {
    "nominal": "absolute_pa",
    "lo": "absolute_lo_pa",
    "hi": "absolute_hi_pa",
    "standard_uncertainty": "absolute_standard_uncertainty_pa",
}
_COPIED = (
    "row_id",
    "limit_id",
    "position",
    "standing",
    "parameter",
    "condition",
    "bound",
    "kind",
    "difference",
    "time_limit_s",
    "applies_to",
    "notes",
    "as_written",
    "source_id",
    "page",
    "line",
    "time_s",
)


@cache
def _terms() -> tuple[tuple[str, str, re.Pattern[str]], ...]:
    return tuple(
        (row["role"], row["value"], re.compile(row["pattern"]))
        for row in load_rows("publish/profile-terms")
    )


def find_fields(text: str) -> dict[str, str]:
    """Gear, fuel grade and mixture named in `text`; a field named in two ways is left out.

    Examples
    --------
    >>> find_fields("combat, S gear; 100 octane")
    {'gear': 'high', 'fuel_grade': '100'}
    """
    found: dict[str, set[str]] = {}
    for role, value, pattern in _terms():
        if role == "sea_level":
            continue
        for match in pattern.finditer(text.casefold()):
            found.setdefault(role, set()).add(value or match.group(1))
    return {role: values.pop() for role, values in found.items() if len(values) == 1}


def _value(row: Cells) -> dict[str, Any] | None:
    if "si_unit" not in row:
        return None
    out = {key: row[column] for key, column in _VALUE.items() if column in row}
    out["reference_form"] = row["reference_form"]
    if row["reference_form"] == "fixed_datum":
        out["datum"] = row.get("datum", "standard-sea-level")
    absolute = {key: row[column] for key, column in _ABSOLUTE.items() if column in row}
    if absolute:
        out["absolute"] = {**absolute, "unit": "Pa"}
    return out


def _limit(row: Cells) -> dict[str, Any]:
    out = {key: row[key] for key in _COPIED if key in row}
    out["time_unlimited"] = row["time_unlimited"]
    out["value"] = _value(row)
    said = "; ".join(str(row[k]) for k in ("condition", "applies_to", "row_header") if k in row)
    return {**out, **find_fields(said)}


@cache
def _drill_of() -> dict[str, tuple[int, str]]:
    return {
        row["condition"]: (int(row["order"]), row["drill"]) for row in load_rows("publish/drills")
    }


def _drills(limits: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Limits that belong to a drill, in the order they are printed."""
    drills: dict[tuple[int, str], list[str]] = {}
    for limit in limits:
        # "ground test, superseded" belongs with "ground test".
        condition = str(limit.get("condition", "")).split(",")[0].strip()
        if condition in _drill_of():
            drills.setdefault(_drill_of()[condition], []).append(limit["row_id"])
    return [{"name": name, "steps": rows} for (_, name), rows in sorted(drills.items())]


def make_profile(document: Document, *, verified_only: bool = True) -> dict[str, Any]:
    """A document as a profile.

    Parameters
    ----------
    document : Document
    verified_only : bool
        Leave out what has not been proved. Otherwise each limit's standing has to be read.

    Returns
    -------
    profile : dict, as the JSON file holds it
    """
    parts = PARTS[:1] if verified_only else PARTS
    everything = [row for part in parts for row in document[part]]
    everything.sort(key=lambda row: row["position"])
    rows = [row for row in everything if row["lead"] and "parameter" in row]
    limits = [_limit(row) for row in rows]
    conditions: dict[str, dict[str, list[str]]] = {}
    for limit in limits:
        by_parameter = conditions.setdefault(limit.get("condition", ""), {})
        by_parameter.setdefault(limit["parameter"], []).append(limit["row_id"])
    whole = [row for part in PARTS for row in document[part]]
    used = {row["row_id"] for row in everything if row["lead"]}
    header = header_of(document)
    counts = dict(document["counts"])
    for row in everything:
        counts[row["standing"]] -= 1
    profile = {
        **{k: header[k] for k in ("schema_version", "tool", "title", "cautions", "sources")},
        "verified_only": verified_only,
        "left_out": {standing: n for standing, n in counts.items() if n},
        "unproved": [] if not verified_only else _unproved(document),
        "table_digests": {part: document["digests"][part] for part in parts},
        "limits": limits,
        "conditions": conditions,
        "drills": _drills(limits),
        "performance": find_tables(whole, used),
    }
    return {"schema": PROFILE_SCHEMA, "digest": _digest(profile), **profile}


_UNPROVED = ("row_id", "parameter", "condition", "bound", "standing", "applies_to")


def _unproved(document: Document) -> list[dict[str, Any]]:
    """Limits that are printed but not proved, without their numbers.

    A program has to know that a limit is there, or it would take its absence for freedom;
    it must not be tempted by a number. What a person rejected is no limit.
    """
    out = []
    for row in document["not_verified"]:
        if row["lead"] and "parameter" in row and row["standing"] != "rejected":
            said = "; ".join(str(row[k]) for k in ("condition", "applies_to") if k in row)
            out.append({**{k: row[k] for k in _UNPROVED if k in row}, **find_fields(said)})
    return out


def _digest(profile: dict[str, Any]) -> str:
    bare = {k: v for k, v in profile.items() if k not in ("schema", "digest", "tool")}
    text = json.dumps(bare, ensure_ascii=False, sort_keys=True, allow_nan=False)
    return rows_digest([{"text": text}], ("text",))


def write_profile(document: Document, path: Path) -> None:
    """Write the profile of the verified rows to `path`."""
    profile = make_profile(document)
    encode = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode
    parts = []
    for key, value in profile.items():
        if key in ("limits", "unproved", "drills", "performance") and value:
            text = "[\n  " + ",\n  ".join(map(encode, value)) + "\n ]"
        else:
            text = json.dumps(value, ensure_ascii=False, indent=1).replace("\n", "\n ")
        parts.append(f" {encode(key)}: {text}")
    path.write_text("{\n" + ",\n".join(parts) + "\n}\n", encoding="utf-8", newline="\n")


@dataclass(frozen=True, slots=True)
class Profile:
    """A loaded profile; `limits` and the rest are as the JSON file holds them."""

    title: str
    cautions: tuple[str, ...]
    schema_version: str
    verified_only: bool
    left_out: dict[str, int]
    sources: tuple[dict[str, Any], ...]
    limits: tuple[dict[str, Any], ...]
    """Each with `parameter`, `condition`, `bound`, `value` in SI, `time_limit_s`, `standing`."""
    unproved: tuple[dict[str, Any], ...]
    """Limits that are printed but not proved, without their numbers."""
    drills: tuple[tuple[str, tuple[dict[str, Any], ...]], ...]
    """(name, its limits in the order printed), in the order of the day."""
    performance: tuple[PerformanceTable, ...]

    @property
    def conditions(self) -> tuple[str, ...]:
        """Conditions that limits are stated for, in the order printed; "" for none."""
        every = (*self.limits, *self.unproved)
        return tuple(dict.fromkeys(limit.get("condition", "") for limit in every))

    @property
    def parameters(self) -> tuple[str, ...]:
        """Parameters that are limited, in the order printed."""
        return tuple(dict.fromkeys(limit["parameter"] for limit in self.limits))

    def find(
        self, parameter: str | None = None, condition: str | None = None
    ) -> tuple[dict[str, Any], ...]:
        """Limits of a parameter, of a condition, or of both."""
        return tuple(
            limit
            for limit in self.limits
            if parameter in (None, limit["parameter"])
            and condition in (None, limit.get("condition", ""))
        )

    def drill(self, name: str) -> tuple[dict[str, Any], ...]:
        """Limits of one drill ("start", "warm-up", "run-up", "stop"), in order; may be empty."""
        return dict(self.drills).get(name, ())


def load_profile(path: str | Path) -> Profile:
    """Read a profile back.

    Parameters
    ----------
    path : str or Path
        The JSON file, or the folder it was issued into, or a dossier's folder.

    Returns
    -------
    Profile

    Raises
    ------
    MissingSourceError
        No such file.
    ArtefactError
        Not a profile, of an unknown schema version, or changed since it was issued.
    """
    path = Path(path)
    if path.is_dir():
        path = next(
            (p for p in (path / "profile.json", path / "made" / "profile.json") if p.is_file()),
            path / "profile.json",
        )
    if not path.is_file():
        raise MissingSourceError(
            "no such file", where=str(path), do="issue the dossier, or check the path"
        )
    try:
        data: Any = json.loads(path.read_text(encoding="utf-8"))
        if data["schema"] != PROFILE_SCHEMA:
            raise KeyError("schema")
        version, digest = data["schema_version"], data["digest"]
    except (UnicodeDecodeError, json.JSONDecodeError, KeyError, TypeError):
        raise ArtefactError("not a profile", where=str(path)) from None
    if version not in versions():
        raise ArtefactError(
            f"schema version {version!r} is not known here",
            where=str(path),
            expected="one of " + ", ".join(versions()),
            do="install a later release to read it",
        )
    if _digest(data) != digest:
        raise ArtefactError(
            "the profile is not the one that was issued",
            where=str(path),
            expected=digest,
            do="issue it again",
        )
    return _profile(data)


def _tuples(data: dict[str, Any]) -> dict[str, Any]:
    return {key: tuple(v) if isinstance(v, list) else v for key, v in data.items()}


def _profile(data: dict[str, Any]) -> Profile:
    by_id = {limit["row_id"]: limit for limit in data["limits"]}
    tables = tuple(PerformanceTable(**_tuples(one)) for one in data["performance"])
    return Profile(
        title=data["title"],
        cautions=tuple(data["cautions"]),
        schema_version=data["schema_version"],
        verified_only=data["verified_only"],
        left_out=data["left_out"],
        sources=tuple(data["sources"]),
        limits=tuple(data["limits"]),
        unproved=tuple(data["unproved"]),
        drills=tuple(
            (drill["name"], tuple(by_id[id] for id in drill["steps"])) for drill in data["drills"]
        ),
        performance=tables,
    )
