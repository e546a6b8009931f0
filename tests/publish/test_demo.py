"""The built-in demo, issued whole: outside validators, round trips, no figure lost."""

from __future__ import annotations

import html
import json
import re
import shutil
import warnings
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

import reconcile
from reconcile.dossier import Dossier, open_dossier
from reconcile.pages import read_page
from reconcile.publish.columns import printable
from reconcile.publish.document import PARTS
from reconcile.publish.formats import write_every_data_format
from reconcile.publish.load import load_document
from reconcile.publish.readback import read_back
from reconcile.publish.readback_text import html_text, write_readback
from reconcile.publish.rows import SCHEMA_VERSION, LimitTable
from reconcile.publish.schemas import frozen_schema
from reconcile.reference import tables_dir
from reconcile.sources import read_source
from reconcile.work import make_table


@pytest.fixture(scope="module")
def dossier(tmp_path_factory: pytest.TempPathFactory) -> Dossier:
    """A copy of the demo."""
    folder = tmp_path_factory.mktemp("demo")
    shutil.copytree(tables_dir() / "demo" / "sources", folder / "sources")
    shutil.copyfile(tables_dir() / "demo" / "dossier.toml", folder / "dossier.toml")
    return open_dossier(folder)


@pytest.fixture(scope="module")
def demo(dossier: Dossier) -> LimitTable:
    """Its limit table, issued into its folder."""
    table = make_table(dossier)
    write_every_data_format(table, dossier.made)
    return table


def test_every_figure_of_the_demo_is_issued(demo: LimitTable, dossier: Dossier) -> None:
    """Figures in are rows out: each id of every witness stands in the package."""
    document = load_document(dossier.made)
    issued = {row["figure_id"] for part in PARTS for row in document[part]}
    assert issued == {row.figure.id for row in demo.rows}
    ids = [row["row_id"] for part in PARTS for row in document[part]]
    assert len(ids) == len(set(ids)) == sum(demo.count().values())


def test_outside_validators_accept_the_demo(
    demo: LimitTable, dossier: Dossier, valid_tei: Callable[[Path], list[str]]
) -> None:
    """frictionless, jsonschema and the TEI schema find no fault in what is issued."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the validator's own, on import
        import frictionless

        report = frictionless.validate(str(dossier.made / "package/datapackage.json"))
    assert report.valid, report.flatten(["title", "message"])
    for name, file in (("limit-table", "limits.json"), ("profile", "profile.json")):
        data = json.loads((dossier.made / file).read_text(encoding="utf-8"))
        jsonschema.Draft202012Validator(frozen_schema(name, SCHEMA_VERSION)).validate(data)
    assert valid_tei(dossier.made / "limits.tei.xml") == []
    assert demo.rows


@pytest.mark.parametrize("name", ["limits.json", "limits.xlsx", "limits.md", "limits.tei.xml"])
def test_the_demo_comes_back_from_every_format(
    name: str, demo: LimitTable, dossier: Dossier
) -> None:
    """Rows, sources and digests are the same from each format."""
    expected, back = load_document(dossier.made), load_document(dossier.made / name)
    for key in ("digests", "sources", *PARTS):
        assert back[key] == expected[key], key
    assert reconcile.load_table(dossier.root).equals(reconcile.load_table(dossier.made / name))


def test_the_demo_has_a_profile_to_fly_by(demo: LimitTable, dossier: Dossier) -> None:
    """Ratings, drills and tables by height are there, and nothing outside them is answered."""
    profile = reconcile.load_profile(dossier.root)
    assert {"take-off", "climb"} <= set(profile.conditions)
    assert {"boost", "engine speed", "oil pressure"} <= set(profile.parameters)
    assert {"start", "run-up"} <= {name for name, _ in profile.drills}
    by_height = [t for t in profile.performance if t.x_parameter == "altitude"]
    assert by_height
    for table in by_height:
        with pytest.raises(reconcile.ReconcileError, match="outside the printed table"):
            table.at(table.x[-1] + 1)


def test_the_demo_is_read_back_word_for_word(
    dossier: Dossier, tmp_path: Path, valid_tei: Callable[[Path], list[str]]
) -> None:
    """Of every source each line stands as it was read, in HTML and in valid TEI."""
    for entry in dossier.entries:
        source, stream = read_source(dossier.source_path(entry.file), tradition=entry.tradition)
        pages = list(stream)
        readings = [read_page(page, tradition=entry.tradition) for page in pages]
        back = read_back(source, [(p, r.figures, r.limits) for p, r in zip(pages, readings)])
        lines = re.findall(r'<div class="words">(.*?)</div>', html_text(back), re.DOTALL)
        words = html.unescape(re.sub(r"</?mark[^>]*>", "", "\n".join(lines)))
        assert words == "\n".join(printable(page.text) or "" for page in pages), entry.file
        write_readback(back, tmp_path / "x.xml", "tei")
        assert valid_tei(tmp_path / "x.xml") == [], entry.file
