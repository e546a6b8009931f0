"""Tables that tie subjects, kinds and parameters together, loaded once."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from reconcile.reference import load_rows

Form = str

CONTINENTAL = frozenset({"german", "soviet", "french", "italian", "japanese"})
"""Traditions that put several figures, each with its own words, into one sentence."""


@cache
def subject_kinds() -> dict[str, dict[str, str]]:
    """Of each subject: its parameter in each kind of quantity."""
    found: dict[str, dict[str, str]] = {}
    for row in load_rows("notation/subjects"):
        found.setdefault(row["subject"], {})[row["kind"]] = row["parameter"]
    return found


@cache
def default_parameter(kind: str, unit: str, tradition: str) -> str:
    """Parameter of a figure of that kind and unit where the text names none; "" if none."""
    best = ""
    for row in load_rows("notation/defaults"):
        if row["kind"] != kind or (
            row["traditions"] and tradition not in row["traditions"].split()
        ):
            continue
        if row["unit"] == unit:
            return row["parameter"]
        if not row["unit"] and not best:
            best = row["parameter"]
    return best


@cache
def changed_name(parameter: str, role: str) -> str:
    """Name of a change in, or an interval of, `parameter`; "" if it has none."""
    for row in load_rows("notation/changes"):
        if row["parameter"] == parameter and row["role"] == role:
            return row["becomes"]
    return ""


@cache
def reference_form(parameter: str, tradition: str) -> Form:
    """Reference form of a pressure by what it measures; "unknown" where nothing tells."""
    found = "unknown"
    for row in load_rows("notation/forms"):
        if row["parameter"] != parameter:
            continue
        if not row["traditions"]:
            found = row["form"]
        elif tradition in row["traditions"].split():
            return row["form"]
    return found


class Usual(NamedTuple):
    """The unit a parameter is printed in where the paper leaves it out."""

    unit: str
    kind: str
    lo: float
    hi: float


@cache
def usual_units(parameter: str, tradition: str, *, tabled: bool = False) -> tuple[Usual, ...]:
    """Units in which `tradition` prints `parameter`, usual first, with the usual bounds.

    With `tabled`, those too that only a cell of a table lets one suppose.
    """
    tables = ("notation/usual", "notation/usual-in-tables") if tabled else ("notation/usual",)
    return tuple(
        Usual(row["unit"], row["kind"], float(row["lo"]), float(row["hi"]))
        for table in tables
        for row in load_rows(table)
        if row["parameter"] == parameter
        and (not row["traditions"] or tradition in row["traditions"].split())
    )


@cache
def plausible() -> dict[str, tuple[float, float, str]]:
    """Widest sensible bounds of each parameter, in SI."""
    return {
        row["parameter"]: (float(row["lo"]), float(row["hi"]), row["unit"])
        for row in load_rows("kinds/plausible")
    }


@cache
def combined(first: str, second: str) -> str:
    """The condition two conditions make together, "" where they make none."""
    for row in load_rows("notation/combinations"):
        if {row["first"], row["second"]} == {first, second}:
            return row["becomes"]
    return ""


@cache
def usual_bound(parameter: str, condition: str) -> str:
    """Bound that a parameter has where no word states one, "" where there is none."""
    found = ""
    for row in load_rows("notation/usual-bounds"):
        if row["parameter"] != parameter:
            continue
        if not row["condition"]:
            found = found or row["bound"]
        elif row["condition"] == condition:
            return row["bound"]
    return found


@cache
def usual_condition(parameter: str, kind: str) -> str:
    """Condition a parameter has where no words state one."""
    for row in load_rows("notation/usual-conditions"):
        if row["parameter"] == parameter:
            return row["condition"]
    return ""


@cache
def labelled_parameter(labels: str, kind: str) -> str:
    """Parameter of an unnamed column of that kind in a table whose rows go by `labels`."""
    for row in load_rows("notation/by-labels"):
        if row["labels"] == labels and row["kind"] == kind:
            return row["parameter"]
    return ""


@cache
def usual_of_all(parameter: str) -> tuple[Usual, ...]:
    """Units in which any tradition prints `parameter`, each once, with their usual bounds."""
    found: dict[str, Usual] = {}
    for table in ("notation/usual", "notation/usual-in-tables", "notation/usual-elsewhere"):
        for row in load_rows(table):
            if row["parameter"] == parameter:
                usual = Usual(row["unit"], row["kind"], float(row["lo"]), float(row["hi"]))
                found.setdefault(usual.unit, usual)
    return tuple(found.values())


@cache
def company_words(role: str) -> frozenset[str]:
    """Words that stand just before ("leads") or after ("followers") a bare number."""
    for row in load_rows("notation/company"):
        if row["role"] == role:
            return frozenset(row["forms"].split("|"))
    return frozenset()
