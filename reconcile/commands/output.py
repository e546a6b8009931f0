"""Answers on stdout in the four forms every answering command offers; notes on stderr."""

from __future__ import annotations

import csv
import json
import re
import sys
from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum
from typing import Any


class Form(StrEnum):
    """How an answer is written."""

    TABLE = "table"
    CSV = "csv"
    JSON = "json"
    JSONL = "jsonl"


def note(text: str) -> None:
    """Progress or a remark, on stderr, so that stdout holds the answer alone."""
    print(text, file=sys.stderr, flush=True)


_ROUTINE = ("read ", "checked:")
"""How the stages' remarks on what went well begin."""


def progress(text: str) -> None:
    """Progress of a stage that is not asked for by itself.

    What went well is passed over, or every command would repeat the dossier's contents;
    what went wrong is said.
    """
    if not text.startswith(_ROUTINE):
        note(text)


def _shown(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.7g}"
    if isinstance(value, list | tuple):
        return "; ".join(_shown(v) for v in value)
    if isinstance(value, dict):
        return "; ".join(f"{k} {_shown(v)}" for k, v in value.items())
    return str(value)


_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")


def _in_a_cell(value: Any) -> str:
    """Text for a CSV cell; words never become a spreadsheet's formula.

    A cell that is a number from end to end is safe as it stands, whatever its sign: a mark
    before it would turn it into text.
    """
    text = repr(value) if isinstance(value, float) else _shown(value)
    formula_like = text[:1] in ("=", "+", "-", "@", "\t", "\r")
    return "'" + text if formula_like and not _NUMBER.fullmatch(text) else text


def write_rows(
    rows: Iterable[Mapping[str, Any]],
    form: Form,
    *,
    columns: Sequence[str],
    shown: Sequence[str] | None = None,
    title: str = "",
) -> None:
    """Write `rows` to stdout.

    Parameters
    ----------
    rows : iterable of mapping, each with all `columns`
    form : Form
    columns : sequence of str
        Columns of the machine-readable forms, in order.
    shown : sequence of str, optional
        Columns of the table for people, where fewer; default all.
    title : str, optional
        Heading of the table for people.
    """
    out = sys.stdout
    if form is Form.JSONL:
        for row in rows:
            out.write(json.dumps({c: row[c] for c in columns}, ensure_ascii=False) + "\n")
    elif form is Form.JSON:
        out.write(
            json.dumps([{c: row[c] for c in columns} for row in rows], ensure_ascii=False, indent=1)
            + "\n"
        )
    elif form is Form.CSV:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(columns)
        writer.writerows([_in_a_cell(row[c]) for c in columns] for row in rows)
    else:
        _write_table(list(rows), shown or columns, title)


def _write_table(rows: list[Mapping[str, Any]], columns: Sequence[str], title: str) -> None:
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    # A pipe has no width of its own: give it room instead of folding every cell.
    console = (
        Console(highlight=False)
        if sys.stdout.isatty()
        else Console(highlight=False, width=max(80, _columns_of_environment()))
    )
    table = Table(
        title=title or None, box=box.SIMPLE_HEAD, title_justify="left", pad_edge=False, expand=False
    )
    lines = [[_shown(row[c]) for c in columns] for row in rows]
    widths = _widths([c.replace("_", " ") for c in columns], lines, console.width)
    for column, wide in zip(columns, widths):
        table.add_column(column.replace("_", " "), overflow="fold", width=wide)
    for cells in lines:
        table.add_row(*map(Text, cells))
    console.print(table)


_FRAME = 3
"""Characters a column takes beside its words: a blank each side, and what parts columns."""


def _widths(heads: Sequence[str], lines: Sequence[Sequence[str]], width: int) -> list[int]:
    """Widths of the columns, such that no word is broken as long as there is room.

    Where there is none, the longest words give way first; what is left over goes to the
    columns that are folded most.
    """
    columns = [[head, *(line[n] for line in lines)] for n, head in enumerate(heads)]
    whole = [max(max(map(len, texts)), 1) for texts in columns]
    room = width - _FRAME * len(heads) + 1
    if sum(whole) <= room:
        return whole
    least = [
        max((len(word) for text in texts for word in text.split()), default=1) for texts in columns
    ]
    while sum(least) > room and max(least) > 1:
        least[least.index(max(least))] -= 1
    for _ in range(room - sum(least)):
        folds = [w / n for w, n in zip(whole, least)]
        if max(folds) <= 1:
            break
        least[folds.index(max(folds))] += 1
    return least


def _columns_of_environment() -> int:
    import os

    text = os.environ.get("COLUMNS", "")
    return int(text) if text.isdigit() else 100
