"""Clean texts spoilt as scanning and typing spoil them: no wrong value may pass as plainly read.

The damage is that of tables of common misreadings: letters for figures, a degree mark for a
nought, marks exchanged, blanks put in, unit letters changed, figures blotted out.
"""

from __future__ import annotations

import random
import re
from functools import cache

import pytest

from reconcile import read_text
from reconcile.records import Figure
from tests.corpus_scoring import load_items

_LETTER_FOR = {"0": "O", "1": "l", "5": "S", "8": "B", "2": "Z"}
_UNITS = [("sq.", "sg."), ("sq.", "xq."), ("in.", "ln."), ("lb", "ib"), ("rpm", "rprn")]


@cache
def _clean() -> tuple[dict, ...]:
    """Undamaged items that are read right, with plain numbers in them."""
    items = [*load_items("second-english.jsonl"), *load_items("second-continental.jsonl")]
    return tuple(
        item
        for item in items
        if item["figures"]
        and not any(f["damaged"] or f["nominal"] is None is f["lo"] for f in item["figures"])
    )


def _letters(text: str, rng: random.Random) -> str:
    """Some figures of some numbers read as letters, never all of one number's."""

    def spoil(match: re.Match[str]) -> str:
        digits = list(match.group())
        places = [i for i, c in enumerate(digits) if c in _LETTER_FOR]
        if len(digits) < 2 or not places or rng.random() < 0.5:
            return match.group()
        at = rng.choice(places)
        digits[at] = _LETTER_FOR[digits[at]]
        return "".join(digits)

    return re.sub(r"\d+", spoil, text)


def _degrees(text: str, rng: random.Random) -> str:
    """The degree mark read as a nought."""
    return re.sub(r"(?<=\d)°\s?(?=[CF])", "0", text)


def _marks(text: str, rng: random.Random) -> str:
    """A thousands comma read as a point."""
    return re.sub(r"(?<=\d),(?=\d{3}(?!\d))", ".", text)


def _blanks(text: str, rng: random.Random) -> str:
    """A blank before a thousands comma."""
    return re.sub(r"(?<=\d),(?=\d{3}(?!\d))", " ,", text)


def _units(text: str, rng: random.Random) -> str:
    """A letter of a unit changed."""
    good, bad = rng.choice(_UNITS)
    return text.replace(good, bad)


def _blots(text: str, rng: random.Random) -> str:
    """The last figure of some numbers blotted out."""
    return re.sub(r"(?<=\d)\d(?=[ °][^\d])", lambda m: "?" if rng.random() < 0.5 else m[0], text)


DAMAGES = [_letters, _degrees, _marks, _blanks, _units, _blots]


def _values(figures: tuple[Figure, ...]) -> set[tuple]:
    return {(f.nominal, f.lo, f.hi, f.unit) for f in figures}


@pytest.mark.parametrize("damage", DAMAGES, ids=lambda d: d.__name__.strip("_"))
def test_damage_is_not_read_as_if_it_were_none(damage) -> None:
    """Of figures plainly read from spoilt texts, at most five in a thousand are wrong."""
    rng = random.Random(1943)
    read = wrong = 0
    seen = []
    for item in _clean():
        tradition = item["tradition"]
        if damage in (_marks, _blanks) and tradition not in {"british", "american"}:
            continue
        spoilt = damage(item["text"], rng)
        if spoilt == item["text"]:
            continue
        right = _values(read_text(item["text"], tradition).figures)
        for figure in read_text(spoilt, tradition).figures:
            if figure.status != "read":
                continue
            read += 1
            if (figure.nominal, figure.lo, figure.hi, figure.unit) not in right:
                wrong += 1
                seen.append((item["id"], figure.as_written, str(figure.nominal), figure.unit))
    assert wrong <= 0.005 * read + 1, (wrong, read, seen)


@pytest.mark.parametrize(
    "damage", [_letters, _degrees, _marks], ids=lambda d: d.__name__.strip("_")
)
def test_most_damage_is_mended(damage) -> None:
    """Four in five of the values spoilt by common misreadings are still found."""
    rng = random.Random(1917)
    found = true = 0
    for item in _clean():
        tradition = item["tradition"]
        if damage is _marks and tradition not in {"british", "american"}:
            continue
        spoilt = damage(item["text"], rng)
        if spoilt == item["text"]:
            continue
        right = _values(read_text(item["text"], tradition).figures)
        got = _values(read_text(spoilt, tradition).figures)
        true += len(right)
        found += len(right & got)
    assert found >= 0.8 * true, (found, true)
