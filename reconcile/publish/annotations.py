"""The limit table as W3C Web Annotations: each figure tied to its place in its source.

A source is named by the digest of its bytes (RFC 6920), so that an annotation finds its page
wherever the file lies. The place is a page and a box on its image at 72 pixels to the inch, a
time in a recording, and always the characters in the page's text. Reference: Web Annotation
Data Model, W3C Recommendation of 23 February 2017.
"""

from __future__ import annotations

import base64
import json
import uuid
from math import ceil, floor
from pathlib import Path
from typing import Any

from reconcile.errors import ArtefactError
from reconcile.publish.document import PART_TITLES, PARTS, SCHEMA, Document, header_of
from reconcile.publish.side import Cells
from reconcile.publish.wording import sentence_of

CONTEXT = "http://www.w3.org/ns/anno.jsonld"
TERMS = "urn:x-reconcile:"
"""Names of our own two terms; what they hold is plain JSON, not statements."""
_PDF = "http://tools.ietf.org/rfc/rfc3778"
_MEDIA = "http://www.w3.org/TR/media-frags/"
_FORMATS = {
    "pdf": "application/pdf",
    "text": "text/plain",
    "markdown": "text/markdown",
    "captions": "application/x-subrip",
}


def source_iri(sha256: str) -> str:
    """A source's name by its digest: an "ni" address (RFC 6920)."""
    try:
        raw = bytes.fromhex(sha256)
    except ValueError:
        raw = sha256.encode()
    return "ni:///sha-256;" + base64.urlsafe_b64encode(raw).decode().rstrip("=")


def annotation_iri(sha256: str, row_id: str) -> str:
    """A row's annotation: a name-based UUID of source and row, the same each time."""
    return uuid.uuid5(uuid.NAMESPACE_URL, f"{source_iri(sha256)}#{row_id}").urn


def _selectors(row: Cells, medium: str) -> list[dict[str, Any]]:
    """Ways to the place, the most exact last."""
    position = {
        "type": "TextPositionSelector",
        "start": row["span_start"],
        "end": row["span_end"],
    }
    out: list[dict[str, Any]] = []
    page: dict[str, Any] = {
        "type": "FragmentSelector",
        "conformsTo": _PDF,
        "value": f"page={row['page']}",
    }
    if row.get("box_left") is not None:
        left, top = floor(row["box_left"]), floor(row["box_top"])
        width, height = ceil(row["box_right"]) - left, ceil(row["box_bottom"]) - top
        box = {
            "type": "FragmentSelector",
            "conformsTo": _MEDIA,
            "value": f"xywh=pixel:{left},{top},{width},{height}",
        }
        out.append({**page, "refinedBy": box})
    if row.get("time_s") is not None:
        out.append(
            {"type": "FragmentSelector", "conformsTo": _MEDIA, "value": f"t={row['time_s']:.15g}"}
        )
    out.append({**page, "refinedBy": position} if medium in ("pdf", "scan") else position)
    if row.get("as_written"):
        out.append({"type": "TextQuoteSelector", "exact": row["as_written"]})
    return out


def _annotation(row: Cells, source: Cells) -> dict[str, Any]:
    target = {"id": source_iri(source["sha256"]), "type": "Text"}
    if kind := _FORMATS.get(source["medium"]):
        target["format"] = kind
    return {
        "id": annotation_iri(source["sha256"], row["row_id"]),
        "type": "Annotation",
        "motivation": "describing",
        "body": [
            {
                "type": "TextualBody",
                "purpose": "describing",
                "format": "text/plain",
                "language": "en",
                "value": sentence_of(row),
            },
            {"type": "TextualBody", "purpose": "tagging", "value": row["standing"]},
        ],
        "target": {"source": target, "selector": _selectors(row, source["medium"])},
        "limitRow": row,
    }


def write_annotations(document: Document, path: Path, part: str) -> None:
    """Write one part of the document to `path` as an annotation collection."""
    sources = {s["source_id"]: s for s in document["sources"]}
    items = [_annotation(row, sources[row["source_id"]]) for row in document[part]]
    seal = "".join(document["digests"][name] for name in (part, "sources"))
    collection = uuid.uuid5(uuid.NAMESPACE_URL, seal)
    page = {
        "id": uuid.uuid5(collection, "first").urn,
        "type": "AnnotationPage",
        "partOf": collection.urn,
        "startIndex": 0,
    }
    head = {
        "@context": [
            CONTEXT,
            {
                "limitTable": {"@id": TERMS + "limit-table", "@type": "@json"},
                "limitRow": {"@id": TERMS + "limit-row", "@type": "@json"},
            },
        ],
        "id": collection.urn,
        "type": "AnnotationCollection",
        "label": f"{document['title']}: {PART_TITLES[part]}",
        "total": len(items),
        "limitTable": {**header_of(document), "part": part},
    }
    encode = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode
    opening = json.dumps(head, ensure_ascii=False, indent=1).removesuffix("\n}")
    first = encode(page).removesuffix("}")
    body = ",\n  ".join(encode(item) for item in items)
    text = f'{opening},\n "first": {first}, "items": [\n  {body}\n ]}}\n}}\n'
    path.write_text(text, encoding="utf-8", newline="\n")


def read_annotations(path: Path) -> Document:
    """Read one part of a document back from annotations; as `parquet.read_parquet`.

    Raises
    ------
    ArtefactError
        Not such a file.
    """
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        head = data["limitTable"]
        if head["schema"] != SCHEMA or head["part"] not in PARTS:
            raise KeyError("schema")
        rows = [item["limitRow"] for item in data["first"]["items"]]
    except (UnicodeDecodeError, json.JSONDecodeError, KeyError, TypeError):
        raise ArtefactError("not annotations of a limit table", where=str(path)) from None
    document: Document = {**head, head["part"]: rows}
    return document
