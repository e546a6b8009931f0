"""Other spellings of a table's words: without umlauts or accents, in other cases and numbers.

A table row gives one spelling of each word; print and typewriters give many. The rules are rows
of tables/notation/spellings.csv, and a derived spelling never displaces a word of the tables.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from reconcile.reference import load_rows

_HIRAGANA = {c: c + 0x60 for c in range(0x3041, 0x3097)}


class _Rules(NamedTuple):
    letters: tuple[tuple[tuple[str, str, int], ...], ...]
    endings: tuple[tuple[str, str, int], ...]
    stem: tuple[str, int]


@cache
def _rules(language: str) -> _Rules:
    sets: dict[str, list[tuple[str, str, int]]] = {}
    endings = []
    stem = ("", 0)
    for row in load_rows("notation/spellings"):
        if row["language"] != language:
            continue
        rule = (row["written"], row["becomes"], int(row["least"]))
        if row["kind"] == "letter":
            sets.setdefault(row["set"], []).append(rule)
        elif row["kind"] == "ending":
            endings.append(rule)
        else:
            stem = (row["written"], rule[2])
    return _Rules(tuple(tuple(s) for s in sets.values()), tuple(endings), stem)


def spelt_otherwise(
    language: str, pieces: tuple[str, ...], *, inflect: bool
) -> Iterator[tuple[str, ...]]:
    """Other spellings of a phrase of `language`, as tokens.

    Parameters
    ----------
    language : str
    pieces : tuple of str
        Tokens of the phrase as the tables have it.
    inflect : bool
        Endings may change too.
    """
    if language == "japanese":
        katakana = tuple(p.translate(_HIRAGANA) for p in pieces)
        if katakana != pieces:
            yield katakana
        return
    rules = _rules(language)
    bases = [pieces]
    for replacements in rules.letters:
        changed: list[str] = []
        for piece in pieces:
            new = piece
            for written, becomes, least in replacements:
                if written in new and len(piece) >= least:
                    new = new.replace(written, becomes)
            changed += new.split(" ")
        other = tuple(changed)
        if other != pieces and other not in bases:
            bases.append(other)
            yield other
    if not inflect:
        return
    if rules.stem[0]:
        vowels, least = rules.stem
        for base in bases:
            stemmed = tuple(_stem(p, vowels, least) for p in base)
            if stemmed != base:
                yield stemmed
    if len(pieces) == 1:
        for base in bases:
            for ending in rules.endings:
                if len(base) == 1 and (word := _with_ending(base[0], ending)):
                    yield (word,)


def _stem(word: str, vowels: str, least: int) -> str:
    if word.endswith("*") or not word.isalpha() or len(word) < least:
        return word
    cut = word
    for _ in range(2):
        if cut[-1] in vowels:
            cut = cut[:-1]
    return cut + "*" if len(cut) >= least else word


def _with_ending(word: str, ending: tuple[str, str, int]) -> str:
    written, becomes, least = ending
    if not word.isalpha() or len(word) < least or not word.endswith(written):
        return ""
    return word[: len(word) - len(written)] + becomes
