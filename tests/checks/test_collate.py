"""Collation, apparatus, double keying and the census of errors."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.checks.collate import align, collate, group_limits, siglum, write_apparatus
from reconcile.checks.keying import (
    chapman,
    compare_keyings,
    estimate_undetected,
    proportion,
)
from reconcile.checks.material import Material
from reconcile.errors import UsageError
from reconcile.records import Witness
from tests.checks.planted import machine, print_witness


def shuffled(witness: Witness, seed: int) -> Witness:
    """The same limits in another order."""
    limits = list(witness.limits)
    random.Random(seed).shuffle(limits)
    return replace(witness, limits=tuple(limits))


@pytest.fixture
def cells():
    """One machine's limits, each key once."""
    kept = {}
    for cell in machine(random.Random(5)):
        if cell.twin_of is None:
            kept.setdefault((cell.parameter, cell.condition, cell.bound), cell)
    return list(kept.values())


@given(seed=st.integers(0, 10**6))
@settings(max_examples=10, deadline=None)
def test_order_does_not_matter_to_collation(seed):
    """A witness in any order is aligned limit for limit."""
    kept = {}
    for cell in machine(random.Random(seed)):
        if cell.twin_of is None:
            kept.setdefault((cell.parameter, cell.condition, cell.bound), cell)
    one, two = (print_witness(list(kept.values()), name) for name in ("w0", "w1"))
    groups = collate([one, shuffled(two, seed)]).groups
    assert len(groups) == len(one.limits)
    for group in groups:
        a, b = group.readings[0].limit.id, group.readings[1].limit.id
        assert a[2:] == b[2:]


def test_every_limit_stands_in_one_group(cells):
    """Nothing is lost: omissions and additions get groups of their own."""
    one = print_witness(cells, "w0")
    two = print_witness(cells[3:], "w1")
    three = print_witness(cells[:-4], "w2")
    collation = collate([one, two, three])
    seen = [e.limit.id for g in collation.groups for e in g.readings.values()]
    assert sorted(seen) == sorted(x.id for w in (one, two, three) for x in w.limits)
    groups = group_limits([one, two, three])
    assert groups["w2-l0"] == "w0-l0"
    assert set(groups) == {x.id for w in (one, two, three) for x in w.limits}


def test_a_condition_worded_otherwise_is_still_aligned(cells):
    """Limits whose condition is worded differently are paired by value and likeness."""
    other = [replace(c, condition="take off") if c.condition == "take-off" else c for c in cells]
    groups = collate([print_witness(cells, "w0"), print_witness(other, "w1")]).groups
    assert all(len(g.readings) == 2 for g in groups)
    assert all(g.readings[0].limit.id[2:] == g.readings[1].limit.id[2:] for g in groups)


def test_many_limits_of_one_name_are_aligned_by_order():
    """A long column without conditions is aligned though a row of the copy is missing."""
    base = [c for c in machine(random.Random(1)) if c.parameter == "altitude"][:1]
    column = [replace(base[0], digits=str(100 * n), condition=None) for n in range(120)]
    one, two = print_witness(column, "w0"), print_witness(column[:60] + column[61:], "w1")
    material = Material.of([one, two])
    pairs = align(material.entries[0], material.entries[1])
    assert len(pairs) == 119
    assert all(
        material.entries[0][i].value == material.entries[1][j].value for i, j in pairs.items()
    )


def test_the_apparatus_names_lemma_witnesses_and_variants(cells):
    """An entry for each variant, with sigla in order; agreeing limits have none."""
    wrong = [*cells]
    at = next(i for i, c in enumerate(cells) if c.parameter == "engine speed")
    wrong[at] = replace(cells[at], digits="1900")
    papers = [print_witness(cells, "w0"), print_witness(wrong, "w1"), print_witness(cells, "w2")]
    [entry] = write_apparatus(collate(papers))
    assert entry.sigla == ("A", "C")
    assert [v.reading for v in entry.variants] == ["1900 r.p.m."]
    assert entry.variants[0].sigla == ("B",)
    assert str(entry).startswith(f"engine speed, {cells[at].condition}: ")
    assert "] A C; 1900 r.p.m. B (contradicts)" in str(entry)


def test_sigla_run_on_after_z():
    """A to Z, then AA."""
    assert [siglum(n) for n in (0, 25, 26, 51, 52)] == ["A", "Z", "AA", "AZ", "BA"]


def test_double_keying_gives_rate_and_interval(cells):
    """Two differences in a known number of figures, each keyer's rate about half of that."""
    wrong = [*cells]
    for at in (2, 7):
        wrong[at] = replace(cells[at], digits=cells[at].digits + "1")
    keying = compare_keyings(print_witness(cells, "w0"), print_witness(wrong, "w1"))
    assert keying.figures == len(cells)
    assert keying.differences.count == 2
    assert keying.error_rate.rate == pytest.approx(1 / len(cells), rel=0.1)
    assert keying.error_rate.low < keying.error_rate.rate < keying.error_rate.high
    assert 0 < keying.undetected < keying.undetected_high < 1


def test_the_estimates_hold_on_simulated_keyings():
    """Over many simulated pairs the error rate is recovered within its interval."""
    rng = random.Random(2)
    n, p, same = 4000, 0.02, 0.1
    differing = undetected = 0
    for _ in range(n):
        one, two = rng.random() < p, rng.random() < p
        alike = one and two and rng.random() < same
        differing += (one or two) and not alike
        undetected += alike
    rate = proportion(differing, n)
    assert rate.low / 2 < p < rate.high / 1.9


def test_the_census_matches_the_published_formulas():
    """Chapman 1951 and Seber 1982, eq. 3.2 and 3.3, worked by hand for 50, 40 and 25."""
    census = chapman(50, 40, 25)
    assert census.total == pytest.approx(51 * 41 / 26 - 1)
    variance = Fraction(51 * 41 * 25 * 15, 26**2 * 27)
    assert census.standard_error == pytest.approx(float(variance) ** 0.5)
    assert census.undetected == pytest.approx(census.total - 65)
    assert chapman(0, 0, 0).total == 0
    with pytest.raises(UsageError):
        chapman(3, 2, 4)
    with pytest.raises(UsageError):
        proportion(3, 2)
    assert estimate_undetected([]).found == 0


def test_keyings_with_nothing_in_common_are_refused(cells):
    """No rate can be had from pages that differ."""
    half = len(cells) // 2
    first = [c for c in cells if c.parameter == "boost"]
    second = [c for c in cells[half:] if c.parameter == "airspeed"]
    with pytest.raises(UsageError, match="in common"):
        compare_keyings(print_witness(first, "w0"), print_witness(second, "w1"))
