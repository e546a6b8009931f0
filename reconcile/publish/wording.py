"""How a row is said in plain words, the same in every format that people read."""

from __future__ import annotations

from typing import Any

from reconcile.publish.side import Cells

_BOUNDS = {
    "max": "not more than",
    "min": "not less than",
    "range": "from",
    "nominal": "nominal",
    "approx": "about",
}


def heading_of(row: Cells) -> str:
    """What the row limits and when: "boost, climb"."""
    parts = [row.get("parameter") or "figure without a parameter", row.get("condition")]
    return ", ".join(part for part in parts if part)


def time_of(row: Cells) -> str:
    """How long it may last, in words; blank where the paper does not say."""
    if row.get("time_unlimited"):
        return "no limit of time"
    seconds = row.get("time_limit_s")
    if seconds is None:
        return ""
    if seconds >= 60:
        minutes, rest = divmod(seconds, 60)
        return f"{minutes:g} min" + (f" {rest:g} s" if rest else "")
    return f"{seconds:g} s"


def place_of(row: Cells, sources: dict[str, str]) -> str:
    """Source and place, in short."""
    name = sources.get(row["source_id"], row["source_id"])
    if row.get("time_s") is not None:
        minutes, seconds = divmod(int(row["time_s"]), 60)
        return f"{name} [{minutes}:{seconds:02d}]"
    return f"{name}, p. {row['page']}, l. {row['line']}"


def sentence_of(row: Cells) -> str:
    """The row as one sentence."""
    said = f"{heading_of(row)}: {_BOUNDS[row['bound']]} {row.get('as_written', '(nothing read)')}"
    if time := time_of(row):
        said += f", {time}"
    if row.get("equivalents"):
        said += f" [= {row['equivalents']}]"
    said += f". {row['standing'].capitalize()}"
    return said + (f": {row['reason']}." if row.get("reason") else ".")


def source_names(document: dict[str, Any]) -> dict[str, str]:
    """File names of the sources by id."""
    return {s["source_id"]: s["name"] for s in document["sources"]}
