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


def equivalents_text(rows: list[Cells]) -> str:
    """A row's equivalents in one line, each with its reference form and rounding."""
    return "; ".join(
        f"{_number(row)} {row.get('symbol') or row['unit']}{_form(row)}" for row in rows
    )


def _form(row: Cells) -> str:
    form = row["reference_form"]
    if form == "none":
        return ""
    return " (reference form unknown)" if form == "unknown" else f" {form.replace('_', ' ')}"


def _number(row: Cells) -> str:
    signed = row["reference_form"] == "fixed_datum"

    def text(x: float) -> str:
        plain = f"{x:.15g}"
        return f"+{plain}" if signed and x > 0 else plain

    ends = [text(row[k]) for k in ("lo", "hi") if row.get(k) is not None]
    if row.get("nominal") is None:
        return " to ".join(ends)
    head = text(row["nominal"])
    return f"{head} ({' to '.join(ends)})" if len(ends) == 2 else head


def sentence_of(row: Cells, equivalents: list[Cells]) -> str:
    """The row as one sentence.

    Parameters
    ----------
    row : dict
        A row of the limit table.
    equivalents : list of dict
        Its rows in the table of equivalents.
    """
    said = f"{heading_of(row)}: {_BOUNDS[row['bound']]} {row.get('as_written', '(nothing read)')}"
    if time := time_of(row):
        said += f", {time}"
    if text := equivalents_text(equivalents):
        said += f" [= {text}]"
    said += f". {row['standing'].capitalize()}"
    return said + (f": {row['reason']}." if row.get("reason") else ".")


def by_row(rows: list[Cells]) -> dict[str, list[Cells]]:
    """Equivalents by the row they belong to."""
    found: dict[str, list[Cells]] = {}
    for row in rows:
        found.setdefault(row["row_id"], []).append(row)
    return found


def source_names(document: dict[str, Any]) -> dict[str, str]:
    """File names of the sources by id."""
    return {s["source_id"]: s["name"] for s in document["sources"]}
