"""Numbers in figures: thousands marks, decimal marks, fractions, misread digits, kanji.

Values are exact (`fractions.Fraction`); the resolution is the step of the last printed place.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from reconcile.notation.tokens import MISREAD, SURE

VULGAR = {
    "¼": Fraction(1, 4), "½": Fraction(1, 2), "¾": Fraction(3, 4), "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3), "⅕": Fraction(1, 5), "⅖": Fraction(2, 5), "⅗": Fraction(3, 5),
    "⅘": Fraction(4, 5), "⅙": Fraction(1, 6), "⅚": Fraction(5, 6), "⅛": Fraction(1, 8),
    "⅜": Fraction(3, 8), "⅝": Fraction(5, 8), "⅞": Fraction(7, 8),
}  # fmt: skip

_ONE = Fraction(1)
_SHAPE = re.compile(r"(\d+(?:[.,'’· ]\d+)*|[.,·]\d+)")


@dataclass(frozen=True, slots=True)
class Numeral:
    """One printed number and what else its marks could mean."""

    value: Fraction
    resolution: Fraction
    other: Fraction | None = None
    """The value if the mark meant the other thing (thousands for decimal, or back)."""
    other_resolution: Fraction = _ONE
    repair: str = ""
    """What was changed to read it; empty for a clean number."""
    doubtful: bool = False
    """The repair is a guess rather than a habit of scanning."""
    odd_mark: bool = False
    """Its marks are not those of the tradition it was read by."""


def _decimal(whole: str, part: str) -> tuple[Fraction, Fraction]:
    step = 10 ** len(part)
    return Fraction(int((whole or "0") + part), step), Fraction(1, step)


@lru_cache(maxsize=65536)
def read_numeral(raw: str, continental: bool) -> Numeral | None:
    """Read a number printed in figures.

    Parameters
    ----------
    raw : str
        Digits with their marks, no sign: ``2,850``, ``.49``, ``1 020``, ``4·9``.
    continental : bool
        True where a comma is the decimal mark and a point divides thousands.

    Returns
    -------
    numeral : Numeral or None
        None for what is no number (a date, a section number).
    """
    if raw.isdigit():
        return Numeral(Fraction(int(raw)), _ONE)
    if not _SHAPE.fullmatch(raw):
        return None
    if raw[0] in ".,·":
        value, step = _decimal("", raw[1:])
        return Numeral(value, step, odd_mark=raw[0] == "," and not continental)
    parts = re.split(r"([.,'’· ])", raw)
    digits, marks = parts[0::2], parts[1::2]
    if len(marks) == 1:
        return _one_mark(digits[0], marks[0], digits[1], continental)
    # Several marks: all but the last must divide thousands.
    if any(len(d) != 3 for d in digits[1:-1]) or len(digits[0]) > 3 or "·" in marks[:-1]:
        return None
    if len(set(marks[:-1])) != 1:
        return None
    if marks[-1] == marks[0]:
        if len(digits[-1]) != 3 or marks[0] == "·":
            return None
        return Numeral(Fraction(int("".join(digits))), _ONE)
    value, step = _decimal("".join(digits[:-1]), digits[-1])
    return Numeral(value, step)


def _one_mark(whole: str, mark: str, part: str, continental: bool) -> Numeral | None:
    if mark == "·":
        value, step = _decimal(whole, part)
        return Numeral(value, step)
    if mark in "'’ ":
        if len(part) != 3:
            return None
        return Numeral(Fraction(int(whole + part)), _ONE)
    as_decimal = _decimal(whole, part)
    thousands_fit = len(part) == 3 and len(whole) <= 3 and not whole.startswith("0")
    if not thousands_fit:
        odd = mark == "," and not continental
        return Numeral(*as_decimal, odd_mark=odd)
    as_thousands = (Fraction(int(whole + part)), _ONE)
    thousands_mark = "." if continental else ","
    if mark == thousands_mark:
        if not continental:
            return Numeral(*as_thousands)
        return Numeral(*as_thousands, *as_decimal)
    return Numeral(*as_decimal, *as_thousands)


@lru_cache(maxsize=16384)
def read_blurred(raw: str, continental: bool) -> Numeral | None:
    """Read a number with letters among its digits ("2,85O", "l25") as the digits they stand for."""
    letters = [c for c in raw if c in MISREAD]
    mended = "".join(MISREAD.get(c, c) for c in raw)
    numeral = read_numeral(mended, continental)
    if numeral is None:
        return None
    changes = ", ".join(f"{c!r} read as {MISREAD[c]}" for c in dict.fromkeys(letters))
    return Numeral(
        numeral.value, numeral.resolution, numeral.other, numeral.other_resolution,
        repair=f"misread figures in {raw!r}: {changes}",
        doubtful=not all(c in SURE for c in letters),
        odd_mark=numeral.odd_mark,
    )  # fmt: skip


_KANJI_DIGIT = {c: i for i, c in enumerate("〇一二三四五六七八九")} | {"零": 0}
_KANJI_TEN = {"十": 10, "百": 100, "千": 1000}


@lru_cache(maxsize=4096)
def read_kanji(raw: str) -> Numeral | None:
    """Read Chinese numerals: place value (二四〇〇), tens (二千四百), marks (二、四〇〇・五)."""
    if "・" in raw or "." in raw:
        plain = raw.replace("、", "").replace(",", "")
        whole, _, part = plain.replace(".", "・").partition("・")
        if any(c in _KANJI_TEN for c in part):
            return None
        before = read_kanji(whole)
        if before is None:
            return None
        step = Fraction(1, 10 ** len(part))
        digits = int("".join(str(_KANJI_DIGIT[c]) for c in part))
        return Numeral(before.value + digits * step, step)
    raw = raw.replace("、", "").replace(",", "")
    if not any(c in _KANJI_TEN for c in raw):
        return Numeral(Fraction(int("".join(str(_KANJI_DIGIT[c]) for c in raw))), _ONE)
    total = digit = 0
    for c in raw:
        if c in _KANJI_TEN:
            total += (digit or 1) * _KANJI_TEN[c]
            digit = 0
        elif digit:
            return None
        else:
            digit = _KANJI_DIGIT[c]
    return Numeral(Fraction(total + digit), _ONE)


def read_blurred_kanji(raw: str) -> Numeral | None:
    """Read Chinese numerals in which a letter O may stand for 〇."""
    mended = raw.translate(_ROUND)
    numeral = read_kanji(mended)
    if numeral is None or mended == raw:
        return numeral
    return Numeral(
        numeral.value, numeral.resolution, repair=f"misread figures in {raw!r}: O read as 〇"
    )


_ROUND = str.maketrans("OoОо0", "〇〇〇〇〇")
