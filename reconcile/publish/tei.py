"""The limit table as TEI: each figure a `measure`, witnesses that differ in an apparatus.

Every row also carries its columns as a feature structure, so that nothing is lost on the way
through an editor's tools. References: TEI P5 Guidelines, chapters 3.6 (measures), 12
(critical apparatus), 18 (feature structures).
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from xml.etree import ElementTree
from xml.sax.saxutils import escape, quoteattr

from reconcile.errors import ArtefactError
from reconcile.publish.document import PART_TITLES, PARTS, SCHEMA, Document, header_of
from reconcile.publish.schemas import frozen_schema
from reconcile.publish.side import Cells
from reconcile.publish.wording import heading_of, time_of

NAMESPACE = "http://www.tei-c.org/ns/1.0"
_PLAIN_ID = re.compile(r"[A-Za-z0-9_.-]+")


def tei_id(prefix: str, text: str, otherwise: int) -> str:
    """An XML id for one of our ids: a prefix and the id, or a number if it does not fit."""
    return f"{prefix}.{text}" if _PLAIN_ID.fullmatch(text) else f"{prefix}-{otherwise}"


def measure_element(
    text: str,
    *,
    kind: str,
    unit: str,
    nominal: float | None,
    lo: float | None,
    hi: float | None,
    id: str = "",
) -> str:
    """A figure's own characters as a TEI `measure`; a range is a `num` inside it."""
    attributes = f" xml:id={quoteattr(id)}" if id else ""
    attributes += f" type={quoteattr(kind)}"
    if unit:
        attributes += f" unit={quoteattr(unit)}"
    body = escape(text)
    if nominal is not None:
        attributes += f' quantity="{nominal:.15g}"'
    elif lo is not None or hi is not None:
        ends = "" if lo is None else f' atLeast="{lo:.15g}"'
        ends += "" if hi is None else f' atMost="{hi:.15g}"'
        body = f"<num{ends}>{body}</num>"
    return f"<measure{attributes}>{body}</measure>"


def _measure(row: Cells, id: str = "") -> str:
    return measure_element(
        row.get("as_written") or "",
        kind=row["kind"],
        unit=row.get("unit") or "",
        nominal=row.get("nominal"),
        lo=row.get("lo"),
        hi=row.get("hi"),
        id=id,
    )


def _features(row: Cells, fields: list[tuple[str, str]]) -> str:
    """A row's columns as a TEI feature structure; blanks are left out."""
    out = ['<fs type="limit">']
    for name, kind in fields:
        value = row.get(name)
        if value is None:
            continue
        if kind == "string":
            out.append(f'<f name="{name}"><string>{escape(value)}</string></f>')
        elif kind == "boolean":
            out.append(f'<f name="{name}"><binary value="{str(value).lower()}"/></f>')
        else:
            out.append(f'<f name="{name}"><numeric value="{value:.15g}"/></f>')
    out.append("</fs>")
    return "".join(out)


def tei_header(document: Document, xeno: str = "") -> list[str]:
    """Lines of the TEI header: title, cautions, sources as witnesses, the tool."""
    tool = document["tool"]
    lines = [
        "<teiHeader>",
        "<fileDesc>",
        f"<titleStmt><title>{escape(document['title'])}</title></titleStmt>",
        "<publicationStmt>",
        *(f"<p>{escape(caution)}</p>" for caution in document["cautions"]),
        "</publicationStmt>",
        "<sourceDesc>",
    ]
    if document["sources"]:
        lines.append("<listWit>")
        for number, source in enumerate(document["sources"], 1):
            id = tei_id("s", source["source_id"], number)
            said = ", ".join(
                str(source[k]) for k in ("title", "edition", "date", "name") if source.get(k)
            )
            lines.append(
                f"<witness xml:id={quoteattr(id)} n={quoteattr(source['source_id'])}>"
                f"{escape(said)}; SHA-256 {source['sha256']}</witness>"
            )
        lines.append("</listWit>")
    else:
        lines.append("<p>No source.</p>")
    lines += [
        "</sourceDesc>",
        "</fileDesc>",
        "<encodingDesc>",
        f"<appInfo><application ident={quoteattr(tool['name'])} "
        f"version={quoteattr(tool['version'])}><label>reconcile</label></application></appInfo>",
        "<editorialDecl><p>Quantities are in the written unit, named by its UCUM code. "
        f"Schema version {document['schema_version']}.</p></editorialDecl>",
        "</encodingDesc>",
    ]
    if xeno:
        lines.append(f"<xenoData>{escape(xeno)}</xenoData>")
    return [*lines, "</teiHeader>"]


def write_tei(document: Document, path: Path) -> None:
    """Write the document to `path` as TEI."""
    fields = [
        (f["name"], f["type"])
        for f in frozen_schema("limits.table", document["schema_version"])["fields"]
    ]
    sources = {
        s["source_id"]: tei_id("s", s["source_id"], n) for n, s in enumerate(document["sources"], 1)
    }
    head = json.dumps(header_of(document, side=True), ensure_ascii=False)
    lines = ['<?xml version="1.0" encoding="UTF-8"?>', f'<TEI xmlns="{NAMESPACE}">']
    lines += [*tei_header(document, head), "<text>", "<body>"]
    row_of: dict[str, tuple[Cells, str]] = {}
    for part in PARTS:
        lines += [f'<div type="{part}">', f"<head>{escape(PART_TITLES[part])}</head>"]
        rows = document[part]
        lines.append("<list>" if rows else "<p>None.</p>")
        for row in rows:
            id = tei_id("r", row["row_id"], row["position"])
            row_of[row["row_id"]] = (row, id)
            said = heading_of(row)
            if time := time_of(row):
                said += f" ({time})"
            lines.append(
                f"<item xml:id={quoteattr(id)} n={quoteattr(row['row_id'])} "
                f"corresp={quoteattr('#' + sources[row['source_id']])}>"
                f"{escape(said)}: {row['bound']} {_measure(row)}"
            )
            if row.get("equivalents"):
                lines.append(f'<note type="equivalent">{escape(row["equivalents"])}</note>')
            lines.append(
                f'<note type="standing">{escape(row["standing"])}'
                f"{escape(': ' + row['reason'] if row.get('reason') else '')}</note>"
            )
            lines.append(_features(row, fields) + "</item>")
        if rows:
            lines.append("</list>")
        lines.append("</div>")
    lines += [*_apparatus(document["apparatus"], row_of, sources), "</body>", "</text>", "</TEI>"]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")


def _apparatus(
    rows: list[Cells], row_of: dict[str, tuple[Cells, str]], sources: dict[str, str]
) -> list[str]:
    """Where witnesses state the same limit: the lemma, then every other reading."""
    if not rows:
        return []
    groups: dict[str, list[Cells]] = {}
    for row in rows:
        groups.setdefault(row["group"], []).append(row)
    lines = ['<div type="apparatus">', "<head>Apparatus</head>", "<listApp>"]
    for group in groups.values():
        lines.append("<app>")
        for row in group:
            cells, id = row_of[row["row_id"]]
            tag = "lem" if row["rank"] == 1 else "rdg"
            kind = "" if tag == "lem" else f' type="{"variant" if row["variant"] else "same"}"'
            lines.append(
                f'<{tag} wit="#{sources[row["source_id"]]}" corresp="#{id}"{kind}>'
                f"{_measure(cells)}</{tag}>"
            )
        said = escape(heading_of(group[0]))
        lines += [f"<note>{said}</note>", "</app>"]
    return [*lines, "</listApp>", "</div>"]


def read_tei(path: Path) -> Document:
    """Read a document back from TEI.

    Raises
    ------
    ArtefactError
        Not TEI, or no limit table in it.
    """
    at = f"{{{NAMESPACE}}}"
    try:
        root = ElementTree.parse(path).getroot()
        document: Document = json.loads(root.findtext(f"{at}teiHeader/{at}xenoData") or "")
        if document["schema"] != SCHEMA:
            raise KeyError("schema")
        fields = frozen_schema("limits.table", document["schema_version"])["fields"]
        types = {f["name"]: f["type"] for f in fields}
        for part in PARTS:
            document[part] = [
                _row(fs, types, at)
                for fs in root.iterfind(f".//{at}div[@type='{part}']/{at}list/{at}item/{at}fs")
            ]
    except (ElementTree.ParseError, UnicodeDecodeError, KeyError, ValueError, TypeError):
        raise ArtefactError("no limit table stands in this file", where=str(path)) from None
    return document


def _row(fs: ElementTree.Element, types: dict[str, str], at: str) -> Cells:
    row: Cells = {}
    for feature in fs:
        name, value = feature.attrib["name"], feature[0]
        kind = types[name]
        if kind == "string":
            row[name] = value.text or ""
        elif kind == "boolean":
            row[name] = value.attrib["value"] == "true"
        else:
            number = float(value.attrib["value"])
            row[name] = number if kind == "number" else int(number)
    return row
