"""The whole job on the demo: nothing dropped, no planted fault verified, most faults named."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from reconcile.dossier import open_dossier
from reconcile.publish.rows import LimitTable
from reconcile.records import Figure, Witness
from reconcile.reference import tables_dir
from reconcile.work import check_dossier, make_table, read_dossier
from tests.demo_truth import account

DEMO = tables_dir() / "demo"


@pytest.fixture(scope="module")
def witnesses() -> tuple[Witness, ...]:
    """The demo's sources, read."""
    return read_dossier(open_dossier(DEMO)).witnesses


@pytest.fixture(scope="module")
def table() -> LimitTable:
    """The demo's limit table."""
    return make_table(open_dossier(DEMO))


@pytest.fixture(scope="module")
def faults(witnesses: tuple[Witness, ...]) -> list[tuple[dict[str, str], Figure]]:
    """Each planted fault that is no amendment, with the figure read there."""
    return [
        (row, figure)
        for witness in witnesses
        for row, figure in account(witness).pairs
        if row["fault"] and row["fault"] != "edition_amended"
    ]


def test_every_figure_is_issued(table: LimitTable, witnesses: tuple[Witness, ...]) -> None:
    """Counts in equal counts out: each figure of each source has its row, and no row is spare."""
    read = {figure_id for witness in witnesses for figure_id in witness.figures}
    assert {row.figure.id for row in table.rows} == read
    assert len({row.id for row in table.rows}) == len(table.rows)
    assert sum(table.count().values()) == len(table.rows)


def test_no_planted_fault_is_verified(
    table: LimitTable, faults: list[tuple[dict[str, str], Figure]]
) -> None:
    """A wrong figure may be found or not, but nothing may call it proved."""
    standing = {row.figure.id: row.standing for row in table.rows}
    assert len(faults) >= 30
    assert [
        (row["source"], row["as_written"], row["fault"])
        for row, figure in faults
        if standing[figure.id] == "verified"
    ] == []


def test_most_planted_faults_are_named(
    witnesses: tuple[Witness, ...], faults: list[tuple[dict[str, str], Figure]]
) -> None:
    """Of the faults in print and type, three in four are named, six in ten with the true value.

    A figure that the reader itself mended, or marked as doubtful, counts as named.
    """
    findings = check_dossier(read_dossier(open_dossier(DEMO)))
    wanted = [
        (row, figure)
        for row, figure in faults
        if row["true_value"] and "read-aloud" not in row["source"]
    ]
    named = valued = 0
    for row, figure in wanted:
        true = Fraction(row["true_value"].split(":")[0])
        first = [
            finding.emendations[0]
            for finding in findings
            if figure.id in finding.figure_ids
            and finding.verdict == "contradicts"
            and finding.emendations
        ]
        marked = figure.status != "read"
        named += marked or any(e.cause == row["fault"] for e in first)
        valued += (marked and figure.nominal in (true, None)) or any(
            e.proposed is not None and true in (e.proposed.nominal, e.proposed.lo) for e in first
        )
    assert named >= 0.75 * len(wanted), (named, len(wanted))
    assert valued >= 0.6 * len(wanted), (valued, len(wanted))


def test_clean_figures_are_seldom_contradicted(
    table: LimitTable, witnesses: tuple[Witness, ...]
) -> None:
    """In sources without a planted fault on the page, contradictions are rare."""
    sound = {
        figure.id
        for witness in witnesses
        for row, figure in account(witness).pairs
        if not row["fault"]
    }
    # A clean figure whose witness is faulty is rightly contradicted; count the rest.
    partners = sum(row.standing == "contradicted" and row.figure.id in sound for row in table.rows)
    assert partners <= 0.04 * len(table.rows)


def test_the_demo_is_what_the_package_carries() -> None:
    """The dossier file names only files that are there."""
    for entry in open_dossier(DEMO).entries:
        assert Path(DEMO / "sources" / entry.file).is_file()
