"""Word sets: the table and the code that asks after it name the same sets."""

import re
from pathlib import Path

import pytest

import reconcile
from reconcile.errors import TableError
from reconcile.notation.wordsets import word_map, word_meanings, word_set
from reconcile.reference import load_rows

ASKED = re.compile(r"word_(?:set|map|meanings)\(\s*\"([^\"]+)\"")
ROWS = load_rows("notation/word-sets")


def test_every_set_is_asked_after_and_every_set_asked_after_stands() -> None:
    """No set lies unused in the table, and the code asks after none that is missing."""
    code = Path(reconcile.__file__).parent.rglob("*.py")
    asked = {name for path in code for name in ASKED.findall(path.read_text(encoding="utf-8"))}
    assert asked == {row["set"] for row in ROWS}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['set']} {row['of']}".strip())
def test_words_are_given_back_as_they_stand(row: dict[str, str]) -> None:
    """Each row gives each of its words once, none blank, by its set and what it is told of."""
    words = row["words"].split("|")
    assert "" not in words
    assert len(set(words)) == len(words)
    assert word_map(row["set"])[row["of"]] == frozenset(words)


def test_a_word_stands_for_what_its_row_is_of() -> None:
    """Maps are read both ways; a plain set holds the words of its one row."""
    assert word_meanings("no-unit-before")["ground"] == "at"
    assert word_set("unit-joins") >= {"and", "und"}


def test_a_set_that_is_not_there_is_refused() -> None:
    """A name the table does not have is an error that names the table."""
    with pytest.raises(TableError, match="no word set 'nothing'"):
        word_set("nothing")
