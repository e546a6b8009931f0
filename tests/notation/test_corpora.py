"""Labelled sets of sentences and tables, each written by another hand than the rules were."""

from __future__ import annotations

from functools import cache

import pytest

from tests.corpus_scoring import Score, load_items, score

SETS = (
    "second-english.jsonl",
    "second-continental.jsonl",
    "third.jsonl",
    "fourth.jsonl",
    "fifth.jsonl",
)


@cache
def _scored(name: str) -> Score:
    return score(load_items(name))


@pytest.mark.parametrize("name", SETS)
@pytest.mark.parametrize(
    ("part", "whole", "least"),
    [
        ("right", "true", 0.97),
        ("right", "given", 0.97),
        ("damaged_right", "damaged", 0.85),
        ("form_right", "pressures", 0.97),
        ("bound_right", "bounds", 0.93),
        ("parameter_right", "right", 0.93),
        ("condition_right", "right", 0.78),
        ("timed_right", "timed", 0.80),
    ],
)
def test_share_of_what_is_read_right(name: str, part: str, whole: str, least: float) -> None:
    """Values, forms, bounds, parameters, conditions and times reach their bars."""
    found = _scored(name)
    assert found.share(part, whole) >= least, found.misses


@pytest.mark.parametrize("name", SETS)
def test_wrong_values_are_hardly_ever_given_out_as_plainly_read(name: str) -> None:
    """Of a thousand figures marked plainly read, at most seven are wrong or are none."""
    found = _scored(name)
    assert found.silent <= 7, found.misses


@pytest.mark.parametrize("name", SETS)
def test_illegible_figures_are_kept_without_a_value(name: str) -> None:
    """What cannot be known is neither invented nor dropped."""
    found = _scored(name)
    assert found.n["void_right"] == found.n["voids"] > 0, found.misses
