"""Small closed sets of words that the reading code asks after, from one table.

The phrases of subjects, conditions and units are in tables of their own. What is here are the
little words around them: prepositions, conjunctions, articles, words for a fall or a failure.
"""

from __future__ import annotations

from functools import cache

from reconcile.errors import TableError
from reconcile.reference import load_rows

_TABLE = "notation/word-sets"


def word_set(name: str) -> frozenset[str]:
    """The words of set `name`, as tokens are folded: small letters, no stops.

    Parameters
    ----------
    name : str
        In column "set" of ``tables/notation/word-sets.csv``.

    Raises
    ------
    TableError
        The table has no such set.
    """
    return _rows_of(name).get("", frozenset())


def word_map(name: str) -> dict[str, frozenset[str]]:
    """The words of set `name` by what they are told of, in column "of".

    Raises
    ------
    TableError
        The table has no such set.
    """
    return dict(_rows_of(name))


def word_meanings(name: str) -> dict[str, str]:
    """What each word of set `name` stands for: column "of" by word.

    Raises
    ------
    TableError
        The table has no such set.
    """
    return {word: of for of, words in _rows_of(name).items() for word in words}


def _rows_of(name: str) -> dict[str, frozenset[str]]:
    try:
        return _sets()[name]
    except KeyError:
        raise TableError(f"no word set {name!r}", where=f"tables/{_TABLE}.csv") from None


@cache
def _sets() -> dict[str, dict[str, frozenset[str]]]:
    sets: dict[str, dict[str, frozenset[str]]] = {}
    for row in load_rows(_TABLE):
        sets.setdefault(row["set"], {})[row["of"]] = frozenset(row["words"].split("|"))
    return sets
