"""Reads an issued limit table back, from any format and any schema version.

Every row list is held against the digest issued with it, so that a cell changed afterwards,
in whatever program, is found out before it reaches a gauge or a model.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from reconcile.errors import ArtefactError, MissingSourceError
from reconcile.publish.annotations import read_annotations
from reconcile.publish.document import PARTS, Document, rows_digest
from reconcile.publish.jsonfile import read_json
from reconcile.publish.markdown import read_markdown
from reconcile.publish.package import DESCRIPTOR, read_package, schema_name
from reconcile.publish.parquet import read_parquet
from reconcile.publish.schemas import frozen_schema
from reconcile.publish.tei import read_tei
from reconcile.publish.workbook_read import read_workbook

if TYPE_CHECKING:
    import pandas as pd

_IN_FOLDER = (DESCRIPTOR, f"package/{DESCRIPTOR}", f"made/package/{DESCRIPTOR}")
_PART_FILES = {"limits": "not_verified", "not_verified": "limits"}


def _readers() -> dict[str, Callable[[Path], Document]]:
    return {
        ".json": read_json,
        ".jsonld": read_annotations,
        ".md": read_markdown,
        ".parquet": read_parquet,
        ".xlsx": read_workbook,
        ".xml": read_tei,
    }


def load_document(path: str | Path) -> Document:
    """Read an issued limit table back as a document, every digest checked.

    Parameters
    ----------
    path : str or Path
        A file of any of the formats, the folder of a data package, or a dossier's folder.

    Returns
    -------
    Document
        Rows without blanks. A file that holds one part of the table brings that part alone.

    Raises
    ------
    MissingSourceError
        No such file.
    ArtefactError
        Not an issued limit table, of an unknown schema version, or changed since.
    """
    path = Path(path)
    if path.is_dir():
        found = [path / name for name in _IN_FOLDER if (path / name).is_file()]
        if not found:
            raise ArtefactError(
                "no limit table was issued here",
                where=str(path),
                expected=DESCRIPTOR,
                do="issue it with: reconcile issue FOLDER",
            )
        path = found[0]
    if not path.is_file():
        raise MissingSourceError("no such file", where=str(path), do="check the path")
    if path.name == DESCRIPTOR:
        document = read_package(path)
    elif path.suffix == ".csv":
        document = _from_csv(path)
    else:
        reader = _readers().get(path.suffix.lower())
        if reader is None:
            raise ArtefactError(
                f"files ending in {path.suffix!r} hold no limit table",
                where=str(path),
                expected="one of .csv, " + ", ".join(_readers()),
            )
        document = reader(path)
    _check_digests(document, path)
    return document


def _from_csv(path: Path) -> Document:
    descriptor = path.parent / DESCRIPTOR
    if not descriptor.is_file():
        raise ArtefactError(
            "a CSV file alone says neither its schema version nor its digest",
            where=str(path),
            expected=f"{DESCRIPTOR} beside it",
            do="keep the files of the package together",
        )
    return read_package(descriptor)


def _check_digests(document: Document, path: Path) -> None:
    try:
        version, digests = document["schema_version"], document["digests"]
        present = [name for name in document if name in digests or name in PARTS]
        if "limits" not in digests or not document["cautions"] or not document["counts"]:
            raise KeyError("digests")
    except (KeyError, TypeError):
        raise ArtefactError(
            "the head of the table is incomplete", where=str(path), do="issue the table again"
        ) from None
    for name in present:
        digest = digests.get(name)
        names = [f["name"] for f in frozen_schema(schema_name(name), version)["fields"]]
        unknown = {key for row in document[name] for key in row} - set(names)
        if unknown or rows_digest(document[name], names) != digest:
            raise ArtefactError(
                f"the rows of {name!r} are not those that were issued",
                where=str(path),
                expected=digest,
                do="issue the table again",
            )


def load_table(
    path: str | Path, *, verified_only: bool = True, lead_only: bool = True
) -> pd.DataFrame:
    """Read an issued limit table as a data frame, whatever its format.

    Parameters
    ----------
    path : str or Path
        A file of any of the formats, the folder of a data package, or a dossier's folder.
    verified_only : bool
        Leave out every row that has not been proved; `attrs["left_out"]` counts them.
    lead_only : bool
        Of rows of several sources that state the same limit, keep the one to take.

    Returns
    -------
    pandas.DataFrame
        One row a figure, in the order of the sources. `attrs` holds the title, cautions,
        schema version, sources with their digests, `units` (UCUM code by column, or
        "column:NAME" where each row says its own), `uncertainty` (by column, the one with
        its standard uncertainty) and `left_out` (rows left out, by standing).

    Raises
    ------
    MissingSourceError
        No such file.
    ArtefactError
        Not an issued limit table, of an unknown schema version, or changed since.

    Notes
    -----
    A verified figure is still not approved data; see `attrs["cautions"]`.
    """
    document = load_document(path)
    if not verified_only and "not_verified" not in document:
        document = _with_other_part(document, Path(path))
    return frame_of(document, verified_only=verified_only, lead_only=lead_only)


def _with_other_part(document: Document, path: Path) -> Document:
    """The document with the part its own file does not hold, from the file beside it."""
    other = path.with_name(path.name.replace("limits", "limits-not-verified", 1))
    if not other.is_file():
        raise ArtefactError(
            "this file holds verified rows alone",
            where=str(path),
            expected=f"{other.name} beside it",
            do="load that file, or another format",
        )
    return {**document, "not_verified": load_document(other)["not_verified"]}


def frame_of(document: Document, *, verified_only: bool, lead_only: bool) -> pd.DataFrame:
    """A document's rows as a data frame; see `load_table`."""
    import pandas as pd

    fields = frozen_schema("limits.table", document["schema_version"])["fields"]
    wanted = PARTS[:1] if verified_only else PARTS
    rows = [row for part in wanted for row in document.get(part, ())]
    kept = [row for row in rows if row["lead"] or not lead_only]
    kept.sort(key=lambda row: row["position"])
    types = {"string": "str", "number": "float64", "integer": "Int64", "boolean": "bool"}
    frame = pd.DataFrame(
        {
            f["name"]: pd.Series([row.get(f["name"]) for row in kept], dtype=types[f["type"]])
            for f in fields
        }
    )
    left_out: dict[str, int] = dict(document["counts"])
    for row in kept:
        left_out[row["standing"]] -= 1
    frame.attrs = {
        **{key: document[key] for key in ("title", "cautions", "schema_version", "sources")},
        "digests": document["digests"],
        "verified_only": verified_only,
        "left_out": {standing: n for standing, n in left_out.items() if n},
        "units": _units(fields),
        "uncertainty": {
            f["name"]: f["uncertaintyColumn"] for f in fields if "uncertaintyColumn" in f
        },
    }
    return frame


def _units(fields: list[dict[str, Any]]) -> dict[str, str]:
    units = {}
    for field in fields:
        if "unit" in field:
            units[field["name"]] = field["unit"]
        elif "unitColumn" in field:
            units[field["name"]] = "column:" + field["unitColumn"]
    return units
