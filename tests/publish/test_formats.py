"""Every format: written whole, read back the same, accepted by outside validators."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
import tempfile
import warnings
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import Any

import jsonschema
import openpyxl
import pandas
import pyarrow.parquet as pq
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import reconcile
from reconcile.errors import ArtefactError, MissingSourceError
from reconcile.publish import formats
from reconcile.publish.document import CARRIED, PARTS, SIDE_TABLES, Document, make_document
from reconcile.publish.load import load_document, load_table
from reconcile.publish.rows import CAUTIONS, SCHEMA_VERSION, LimitTable
from reconcile.publish.schemas import frozen_schema

SAMPLES = Path(__file__).parent / "samples"
TABLES = [name for name, _, _ in formats.FORMATS if name != "profile.json"]
WHOLE = [name for name in TABLES if not name.endswith((".parquet", ".jsonld"))]
HALVES = [name for name in TABLES if name not in WHOLE]


@pytest.fixture(scope="module")
def made(table: LimitTable, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with every data format of the sample."""
    folder = tmp_path_factory.mktemp("made")
    formats.write_every_data_format(table, folder)
    return folder


@pytest.fixture(scope="module")
def document(table: LimitTable) -> Document:
    """The sample as a document."""
    return make_document(table)


def _carried(document: Document, name: str = "") -> Document:
    """What a format carries of a document."""
    drop = {"equivalents", "equivalents_not_verified"}
    if name.endswith((".md", ".parquet", ".jsonld")):
        drop |= {"findings", "emendations", "rulings", "apparatus"}
    return {k: v for k, v in document.items() if k not in drop}


@pytest.mark.parametrize("name", WHOLE)
def test_a_whole_format_reads_back_the_same(name: str, made: Path, document: Document) -> None:
    """What is read back is what was written: head, sources, findings, rulings, every row."""
    assert _carried(load_document(made / name)) == _carried(document, name)


def test_package_and_json_carry_the_equivalents(made: Path, document: Document) -> None:
    """The equivalents number by number come back from the package and the JSON."""
    for name in ("package/datapackage.json", "limits.json"):
        assert load_document(made / name) == document


HOSTILE = st.text(
    st.one_of(
        st.characters(),
        st.sampled_from("=+-@'\"\t\n\r\x00\x0b\x1f\x7f,;|`<>&\ufffe\ud800\u2028 "),
    ),
    max_size=12,
) | st.sampled_from(
    ["=1+1", "+6", "'", "''+", "_x0041_", "]]>", "<!--", "```\n```csv limits", "\\", "{}", "null"]
)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(HOSTILE, min_size=6, max_size=6))
def test_hostile_text_comes_back_the_same(table: LimitTable, texts: list[str]) -> None:
    """Whatever characters a source holds, every format is written and reads back the same."""
    first = table.rows[0]
    rows = (
        replace(
            first,
            condition=texts[0],
            reason=texts[1],
            notes=(texts[2], texts[0]),
            figure=replace(first.figure, as_written=texts[3], qualifiers=(texts[4],)),
        ),
        *table.rows[1:],
    )
    hostile = replace(table, title=texts[5], rows=rows, notes=tuple(texts))
    document = make_document(hostile)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        formats.write_every_data_format(hostile, folder)
        for file in WHOLE:
            assert _carried(load_document(folder / file)) == _carried(document, file), file
        for file in HALVES:
            load_document(folder / file)
        assert reconcile.load_profile(folder).title == document["title"]


@pytest.mark.parametrize("name", HALVES)
def test_a_half_format_reads_back_its_part(name: str, made: Path, document: Document) -> None:
    """A file of one part brings that part alone, and everything else of the table."""
    part = "not_verified" if "not-verified" in name else "limits"
    back = load_document(made / name)
    assert back.pop("part") == part
    assert set(back) & set(PARTS) == {part}
    other = PARTS[1 - PARTS.index(part)]
    expected = {k: v for k, v in _carried(document, name).items() if k != other}
    assert back == expected


def test_rows_are_split_by_standing(document: Document) -> None:
    """Verified rows and all others stand in two lists; together they are every row."""
    assert {row["standing"] for row in document["limits"]} == {"verified"}
    assert "verified" not in {row["standing"] for row in document["not_verified"]}
    positions = sorted(row["position"] for part in PARTS for row in document[part])
    assert positions == list(range(1, sum(document["counts"].values()) + 1))


@pytest.mark.parametrize("name", [*(n for n in TABLES if "not-verified" not in n), "package", "."])
@pytest.mark.parametrize("lead_only", [True, False])
@pytest.mark.parametrize("verified_only", [True, False])
def test_every_format_loads_to_the_same_frame(
    name: str, verified_only: bool, lead_only: bool, made: Path
) -> None:
    """Each format gives the same data frame, whichever rows are asked for."""
    flags = {"verified_only": verified_only, "lead_only": lead_only}
    frame = load_table(made / name, **flags)
    expected = load_table(made / "limits.json", **flags)
    pandas.testing.assert_frame_equal(frame, expected)
    assert frame.attrs["left_out"] == expected.attrs["left_out"]


def test_a_program_gets_verified_lead_rows_unless_it_asks(made: Path) -> None:
    """load_table leaves out what is not proved and repeats, and says how much it left out."""
    frame = reconcile.load_table(made)
    assert set(frame["standing"]) == {"verified"} and frame["lead"].all()
    assert frame.attrs["left_out"] == {
        "verified": 2,
        "unverified": 2,
        "in doubt": 3,
        "contradicted": 1,
    }
    everything = reconcile.load_table(made, verified_only=False, lead_only=False)
    assert len(everything) == 15 and everything.attrs["left_out"] == {}


def test_a_frame_carries_units_uncertainty_and_cautions(made: Path) -> None:
    """attrs say each number's unit, its uncertainty's column, the cautions and the sources."""
    frame = load_table(made)
    attrs = frame.attrs
    assert attrs["units"]["absolute_pa"] == "Pa"
    assert attrs["units"]["si_nominal"] == "column:si_unit"
    assert attrs["uncertainty"]["si_nominal"] == "si_standard_uncertainty"
    assert attrs["cautions"] == list(CAUTIONS)
    assert attrs["sources"][0]["sha256"] == "1f" * 32
    boost = frame.set_index("row_id").loc["f01"]
    assert boost["reference_form"] == "fixed_datum"
    # 6 lbf/in2 (NIST SP 811, appendix B.8: 6.894 757 E+03 Pa) over 101 325 Pa.
    assert boost["absolute_pa"] == pytest.approx(101325 + 6 * 6894.757, abs=0.01)


def test_the_other_half_has_to_be_there(made: Path, tmp_path: Path) -> None:
    """A file of verified rows alone says so when asked for the others."""
    lone = tmp_path / "limits.parquet"
    lone.write_bytes((made / "limits.parquet").read_bytes())
    assert len(load_table(lone)) == 7
    with pytest.raises(ArtefactError, match="holds verified rows alone"):
        load_table(lone, verified_only=False)


def _change_text(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert "2,850 r.p.m." in text
    path.write_text(text.replace("2,850 r.p.m.", "2,950 r.p.m."), encoding="utf-8")


def _change_workbook(path: Path) -> None:
    book = openpyxl.load_workbook(path)
    book["Verified"]["O3"] = "2,950 r.p.m."
    book.save(path)


def _change_parquet(path: Path) -> None:
    table = pq.read_table(path)
    at = table.column_names.index("si_nominal")
    column = table.column(at).to_pylist()
    column[1] += 1
    table = table.set_column(at, table.schema.field(at), [column])
    pq.write_table(table, path)


CHANGES: dict[str, Callable[[Path], None]] = {
    "limits.json": _change_text,
    "limits.md": _change_text,
    "limits.tei.xml": _change_text,
    "limits.annotations.jsonld": _change_text,
    "package/limits.csv": _change_text,
    "limits.xlsx": _change_workbook,
    "limits.parquet": _change_parquet,
}


@pytest.mark.parametrize("name", CHANGES)
def test_a_changed_cell_is_found_out(name: str, made: Path, tmp_path: Path) -> None:
    """A figure altered after issue, in whatever format, is refused by its digest."""
    path = tmp_path / Path(name).name
    path.write_bytes((made / name).read_bytes())
    if name.endswith(".csv"):
        for other in (made / "package").iterdir():
            if other.name != path.name:
                (tmp_path / other.name).write_bytes(other.read_bytes())
    CHANGES[name](path)
    with pytest.raises(ArtefactError, match=r"not those that were issued|was changed after"):
        load_document(path)


@pytest.mark.parametrize("name", TABLES)
def test_a_broken_file_is_refused_in_one_sentence(name: str, tmp_path: Path) -> None:
    """Junk under a right name is an ArtefactError, not another library's error."""
    path = tmp_path / Path(name).name
    for junk in (b"", b"\x00\xff" * 50, b"{}", b"<TEI/>", b"[1]", b'{"schema": []}'):
        path.write_bytes(junk)
        with pytest.raises(ArtefactError):
            load_document(path)


def test_what_is_no_table_is_refused(tmp_path: Path, made: Path) -> None:
    """Missing files, empty folders, lone CSV files and strange endings are told apart."""
    with pytest.raises(MissingSourceError, match="no such file"):
        load_document(tmp_path / "none.json")
    with pytest.raises(ArtefactError, match="no limit table was issued here"):
        load_document(tmp_path)
    lone = tmp_path / "limits.csv"
    lone.write_bytes((made / "package/limits.csv").read_bytes())
    with pytest.raises(ArtefactError, match="a CSV file alone"):
        load_document(lone)
    strange = tmp_path / "limits.doc"
    strange.write_bytes(b"x")
    with pytest.raises(ArtefactError, match=r"'\.doc' hold no limit table"):
        load_document(strange)


def test_a_part_of_the_package_that_is_missing_is_named(made: Path, tmp_path: Path) -> None:
    """A package with a file gone says which."""
    for file in (made / "package").iterdir():
        if file.name != "findings.csv":
            (tmp_path / file.name).write_bytes(file.read_bytes())
    with pytest.raises(ArtefactError, match=r"findings\.csv: a file of the package is missing"):
        load_document(tmp_path)


def test_a_head_without_digests_is_refused(made: Path, tmp_path: Path) -> None:
    """Digests cannot be got round by taking them out."""
    data = json.loads((made / "limits.json").read_text(encoding="utf-8"))
    for key in ("digests", "cautions", "counts"):
        path = tmp_path / "limits.json"
        path.write_text(json.dumps({k: v for k, v in data.items() if k != key}))
        with pytest.raises(ArtefactError, match="incomplete"):
            load_document(path)


def test_the_package_satisfies_frictionless(made: Path) -> None:
    """frictionless validate: types, keys, foreign keys, byte counts and hashes, no error."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the validator's own, on import
        import frictionless

        report = frictionless.validate(str(made / "package/datapackage.json"))
    assert report.valid, report.flatten(["type", "title", "message"])
    assert {task.name for task in report.tasks} == {*PARTS, *(t.name for t in SIDE_TABLES)}


def test_the_json_satisfies_its_schema(made: Path) -> None:
    """limits.json holds by the frozen JSON Schema, and a mixed list would not."""
    validator = jsonschema.Draft202012Validator(frozen_schema("limit-table", SCHEMA_VERSION))
    data = json.loads((made / "limits.json").read_text(encoding="utf-8"))
    validator.validate(data)
    mixed = {**data, "limits": [*data["limits"], *data["not_verified"]]}
    assert not validator.is_valid(mixed)
    assert not validator.is_valid({**data, "cautions": []})


@pytest.mark.parametrize("name", TABLES)
def test_every_file_carries_cautions_versions_and_digests(name: str, made: Path) -> None:
    """Each format says the cautions, schema and tool version and the sources' digests."""
    back = load_document(made / name)
    assert back["cautions"] == list(CAUTIONS)
    assert back["schema_version"] == SCHEMA_VERSION
    assert back["tool"] == {"name": "reconcile", "version": reconcile.__version__}
    assert [s["sha256"] for s in back["sources"]] == ["1f" * 32, "2e" * 32, "3d" * 32]
    if name in ("package/datapackage.json", "limits.json", "limits.xlsx", "limits.tei.xml"):
        assert {t.name for t in CARRIED} <= set(back)


def test_no_csv_cell_can_become_a_formula(made: Path) -> None:
    """No text cell of any CSV file begins with a character that starts a formula."""
    for file in (made / "package").glob("*.csv"):
        with file.open(encoding="utf-8", newline="") as stream:
            rows = list(csv.reader(stream))
        resource = file.stem.replace("-", "_")
        name = "limits.table" if resource in PARTS else f"{resource}.table"
        fields = frozen_schema(name, SCHEMA_VERSION)["fields"]
        for row in rows[1:]:
            for field, cell in zip(fields, row, strict=True):
                if field["type"] == "string":
                    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r")), (file, cell)


def test_the_workbook_is_typed_frozen_and_without_formulas(made: Path) -> None:
    """By openpyxl: "+6" is text, numbers are numbers, headings are frozen, no formula."""
    book = openpyxl.load_workbook(made / "limits.xlsx")
    assert book.sheetnames[:3] == ["Cautions", "Verified", "Not verified"]
    assert "Notes" in book.sheetnames
    for sheet in book:
        for row in sheet.iter_rows():
            assert all(cell.data_type != "f" for cell in row), sheet.title
    sheet = book["Verified"]
    assert sheet.freeze_panes == "B2"
    head = {cell.value: cell.column for cell in sheet[1]}
    first = {name: sheet.cell(2, column) for name, column in head.items()}
    assert sheet.cell(1, head["nominal"]).comment.text.endswith("Unit: see column unit.")
    assert first["as_written"].value == "+6 lb/sq.in."
    assert first["as_written"].data_type in ("s", "inlineStr")
    assert first["as_written"].number_format == "@"
    assert first["nominal"].value == 6 and first["nominal"].data_type == "n"
    assert first["lead"].value is True and first["lead"].data_type == "b"
    assert [c.value for c in book["Cautions"]["B"][1:5]] == list(CAUTIONS)


def test_a_text_too_long_for_a_cell_comes_back_whole(table: LimitTable, tmp_path: Path) -> None:
    """Nothing is cut off by a spreadsheet's cell: long text goes on in a sheet of its own."""
    from reconcile.publish.workbook import write_workbook
    from reconcile.publish.workbook_read import read_workbook

    long = "a very long note <&> _x0041_ {} \t\n" * 4000
    rows = (replace(table.rows[0], notes=(long,)), *table.rows[1:])
    document = make_document(replace(table, rows=rows, notes=(long,)))
    write_workbook(document, tmp_path / "long.xlsx")
    assert _carried(read_workbook(tmp_path / "long.xlsx")) == _carried(document)


def test_parquet_fields_carry_units(made: Path) -> None:
    """A Parquet column's own metadata says its unit and its uncertainty's column."""
    schema = pq.read_schema(made / "limits.parquet")
    assert schema.field("absolute_pa").metadata[b"unit"] == b"Pa"
    assert schema.field("si_nominal").metadata[b"unitColumn"] == b"si_unit"
    assert schema.field("si_nominal").metadata[b"uncertaintyColumn"] == b"si_standard_uncertainty"
    assert set(pq.read_table(made / "limits.parquet")["standing"].to_pylist()) == {"verified"}


SCRIPT = """
import sys, importlib.util, pathlib
spec = importlib.util.spec_from_file_location("make_samples", sys.argv[1])
module = importlib.util.module_from_spec(spec)
spec.loader.exec_module(module)
from reconcile.publish import write_all
folder = pathlib.Path(sys.argv[2])
write_all(module.sample_table(), folder, source_folder=folder / "none")
"""


def test_two_processes_write_the_same_bytes(tmp_path: Path) -> None:
    """Hash seed, time zone, locale and folder change no byte of any file, the report's too."""
    worlds: list[dict[str, str]] = [
        {"PYTHONHASHSEED": "1", "TZ": "Pacific/Kiritimati", "LC_ALL": "C"},
        {"PYTHONHASHSEED": "77", "TZ": "America/Anchorage", "LC_ALL": "C.UTF-8"},
    ]
    written = []
    for number, world in enumerate(worlds):
        folder = tmp_path / f"world {number}"
        subprocess.run(
            [sys.executable, "-c", SCRIPT, str(SAMPLES / "make_samples.py"), str(folder)],
            env={**os.environ, **world, "PYTHONPATH": os.pathsep.join(sys.path)},
            check=True,
        )
        files = sorted(p for p in folder.rglob("*") if p.is_file())
        written.append({str(p.relative_to(folder)): p.read_bytes() for p in files})
    assert written[0].keys() == written[1].keys()
    for name in written[0]:
        assert written[0][name] == written[1][name], name


@pytest.mark.parametrize(
    "version", sorted(p.name for p in SAMPLES.iterdir() if p.is_dir() and p.name[0].isdigit())
)
def test_frozen_samples_load_for_ever(version: str, samples: ModuleType) -> None:
    """Every format of every schema version still loads, to the rows it was frozen with."""
    folder = SAMPLES / version
    expected = load_table(folder / "limits.json", verified_only=False, lead_only=False)
    assert len(expected) == 15
    assert list(expected["row_id"][:3]) == ["f01", "f02", "f03"]
    for name in WHOLE:
        frame = load_table(folder / name, verified_only=False, lead_only=False)
        assert frame.equals(expected), name
    for name in HALVES:
        assert load_document(folder / name)["schema_version"] == version
    assert reconcile.load_profile(folder).limits


def test_an_empty_table_is_issued_and_read_back(tmp_path: Path) -> None:
    """A dossier with no figures gives valid, empty files."""
    empty = LimitTable("", (), (), ())
    formats.write_every_data_format(empty, tmp_path)
    document: dict[str, Any] = make_document(empty)
    for name in WHOLE:
        assert _carried(load_document(tmp_path / name)) == _carried(document, name), name
    assert len(load_table(tmp_path)) == 0
