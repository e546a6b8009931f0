"""The vocabulary tables: no two rows pull one phrase two ways, and what is compiled is current."""

from __future__ import annotations

import json
from collections import defaultdict

import pytest

from reconcile import reference
from reconcile.notation.compiled import READ, compiled_text, digest_of, load_compiled
from reconcile.notation.lexicon import LANGUAGES, PLANS, split_form
from reconcile.reference import load_rows, tables_dir


def _rows(language: str):
    for file in ("subjects", "conditions", "words"):
        yield from load_rows(f"notation/{file}-{language}")


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("role", ["condition", "bound", "multiple", "setting", "port"])
def test_a_phrase_says_one_thing_in_one_role(language: str, role: str) -> None:
    """A phrase of one role, group and reach stands for one value only."""
    seen = defaultdict(set)
    for row in _rows(language):
        if row["role"] == role:
            for form in row["forms"].split("|"):
                key = (tuple(split_form(form)), row["group"], row["only"])
                seen[key].add(row["value"])
    assert {key: values for key, values in seen.items() if len(values) > 1} == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_subject_measures_something(language: str) -> None:
    """A subject word names a subject that tables/notation/subjects has a parameter for."""
    known = {row["subject"] for row in load_rows("notation/subjects")}
    named = {row["value"] for row in _rows(language) if row["role"] == "subject"}
    assert named - known == set()


def test_companions_of_subjects_are_subjects() -> None:
    """A subject that needs another beside it names one that exists."""
    known = {row["subject"] for row in load_rows("notation/subjects")}
    known |= {"", "weak", "strong", "head"}
    for language in LANGUAGES:
        for row in load_rows(f"notation/subjects-{language}"):
            if row["role"] == "subject":
                assert row["group"] in known, row


def test_parameters_of_all_tables_are_one_list() -> None:
    """Forms, bounds, usual units and plausible sizes speak of parameters a subject can have."""
    known = {row["parameter"] for row in load_rows("notation/subjects")}
    known |= {row["parameter"] for row in load_rows("notation/defaults")}
    known |= {row["becomes"] for row in load_rows("notation/changes")}
    known |= {"temperature", "datum offset", "pressure used"}
    for table in ("forms", "usual", "usual-bounds", "usual-conditions", "changes"):
        for row in load_rows(f"notation/{table}"):
            assert row["parameter"] in known, (table, row["parameter"])


def test_units_of_the_vocabulary_can_be_measured() -> None:
    """Every unit the text can name has a row with a factor, or is a bare count."""
    from reconcile.errors import UnknownUnitError
    from reconcile.measure.units import unit_row

    missing = set()
    for table, column in (("units", "unit"), ("compositions", "unit"), ("usual", "unit")):
        for row in load_rows(f"notation/{table}"):
            try:
                unit_row(row[column])
            except UnknownUnitError:
                missing.add(row[column])
    assert missing == set()


def test_tables_read_as_they_are_have_been_checked() -> None:
    """Those on record are all that reading loads, as they stand (else: run the compiler)."""
    on_record = json.loads((tables_dir() / "checked.json").read_text(encoding="utf-8"))
    stale = [name for name in READ if on_record.get(name) != reference.digest_of(name)]
    assert stale == [], "run python -m reconcile.notation.compiled"


@pytest.mark.parametrize("name", PLANS)
def test_compiled_vocabulary_is_current(name: str) -> None:
    """What is compiled was made from the tables as they stand (else: run the compiler)."""
    tables, build = PLANS[name]
    stored = (tables_dir() / "notation" / "compiled" / f"{name}.json").read_text(encoding="utf-8")
    current = stored.partition("\n")[0] == digest_of(tables)
    assert current, "run python -m reconcile.notation.compiled"
    assert stored == compiled_text(tables, build)
    phrases = load_compiled(name, tables, dict).get("roots", {})
    assert {word: json.loads(node) for word, node in phrases.items()} == build().get("roots", {})
