"""How a workbook's numbers are shown: places, per cent, units written by the format.

The stored number alone would lose them: 4.50 is stored as 4.5 and 75 % as 0.75.
"""

from __future__ import annotations

import re
import warnings
from decimal import Decimal
from pathlib import Path
from typing import Any

_LITERAL = re.compile(r'"([^"]*)"|\\(.)|\[\$([^\]-]*)[^\]]*\]|_.|\*.|\[[^\]]*\]')
_MASK = re.compile(r"^([^0#?.,%]*)([#?0,]*[0#?](?:\.([0#?]+))?)(%?)([^0#?.,%]*)$")
UNSAVED = "(formula without a stored value)"


class Formats:
    """Formats and unsaved formulas of a workbook, sheet by sheet; empty where unreadable."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._book: Any = None

    def of_sheet(self, name: str) -> tuple[dict[tuple[int, int], str], set[tuple[int, int]]]:
        """Number formats by (row, column) from 0, and the places of formulas."""
        formats: dict[tuple[int, int], str] = {}
        formulas: set[tuple[int, int]] = set()
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # openpyxl warns of parts it leaves out
                if self._book is None:
                    import openpyxl

                    self._book = openpyxl.load_workbook(self._path, read_only=True)
                for row in self._book[name].iter_rows():
                    for cell in row:
                        if cell.value is None:
                            continue
                        place = cell.row - 1, cell.column - 1
                        if cell.data_type == "f":
                            formulas.add(place)
                        if cell.number_format != "General":
                            formats[place] = cell.number_format
        except Exception:  # a workbook that one library reads and the other does not
            return {}, set()
        return formats, formulas

    def close(self) -> None:
        """Let the file go."""
        if self._book is not None:
            self._book.close()
            self._book = None


def show_number(value: float, number_format: str = "") -> str:
    """A stored number as the sheet shows it, but never rounded.

    Examples
    --------
    >>> show_number(4.5, "0.00"), show_number(2850.0, "#,##0"), show_number(0.75, "0%")
    ('4.50', '2,850', '75%')
    >>> show_number(6.0, '+0" lb./sq.in.";-0'), show_number(3.456, "0.0")
    ('+6 lb./sq.in.', '3.456')
    """
    plain = Decimal(repr(value)) if value == value and abs(value) < 1e15 else None
    if plain is None:
        return repr(value)
    before, places, percent, grouped, after = _parts(number_format, value)
    if percent:
        plain *= 100
    plain = plain.normalize()
    digits = max(places, -int(plain.as_tuple().exponent))
    text = f"{abs(plain):{',' if grouped else ''}.{max(0, digits)}f}"
    sign = "-" if plain < 0 and "-" not in before and "(" not in before else ""
    return f"{before}{sign}{text}{'%' if percent else ''}{after}"


def _parts(number_format: str, value: float) -> tuple[str, int, bool, bool, str]:
    """Text before, places, per cent, thousands, text after; nothing from a strange format."""
    nothing = "", 0, False, False, ""
    if not number_format or number_format == "General" or number_format == "@":
        return nothing
    sections = number_format.split(";")
    section = sections[1] if value < 0 and len(sections) > 1 else sections[0]
    held: list[str] = []

    def keep(match: re.Match[str]) -> str:
        held.append(match[1] or match[2] or match[3] or "")
        return chr(0xE000 + len(held) - 1) if held[-1] else ""

    masked = _LITERAL.sub(keep, section)
    match = _MASK.match(masked)
    if match is None or len(held) > 100:
        return nothing

    def back(text: str) -> str:
        return "".join(held[ord(c) - 0xE000] if "\ue000" <= c < "\ue064" else c for c in text)

    places = len(match[3].rstrip("#?")) if match[3] else 0
    return back(match[1]), places, bool(match[4]), "," in match[2], back(match[5])
