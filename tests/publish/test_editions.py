"""What editors and annotators load: TEI, Web Annotations, Markdown."""

from __future__ import annotations

import json
import re
import warnings
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from xml.etree import ElementTree

import pytest
import rdflib

from reconcile.publish.annotations import annotation_iri, source_iri, write_annotations
from reconcile.publish.document import Document, make_document
from reconcile.publish.markdown import escape_markdown, write_markdown
from reconcile.publish.rows import LimitTable
from reconcile.publish.tei import NAMESPACE, write_tei

TEI = {"t": NAMESPACE}
XML_ID = "{http://www.w3.org/XML/1998/namespace}id"


@pytest.fixture(scope="module")
def document(table: LimitTable) -> Document:
    """The sample as a document."""
    return make_document(table)


def test_tei_is_valid_by_the_consortiums_schema(
    document: Document, tmp_path: Path, valid_tei: Callable[[Path], list[str]]
) -> None:
    """limits.tei.xml is valid TEI P5, with rows and without."""
    for number, one in enumerate((document, make_document(LimitTable("", (), (), ())))):
        path = tmp_path / f"{number}.xml"
        write_tei(one, path)
        assert valid_tei(path) == []


def test_tei_measures_keep_the_figures_characters(document: Document, tmp_path: Path) -> None:
    """Each row is one measure with the figure's own text, number and UCUM unit."""
    write_tei(document, tmp_path / "x.xml")
    root = ElementTree.parse(tmp_path / "x.xml").getroot()
    items = {item.get("n"): item for item in root.iterfind(".//t:item", TEI)}
    rows = [row for part in ("limits", "not_verified") for row in document[part]]
    assert set(items) == {row["row_id"] for row in rows}
    for row in rows:
        measure = items[row["row_id"]].find("t:measure", TEI)
        assert measure is not None
        assert "".join(measure.itertext()) == row["as_written"]
        assert measure.get("unit") == row.get("unit")
        if "nominal" in row:
            assert float(measure.get("quantity", "")) == row["nominal"]
        elif "lo" in row:
            num = measure.find("t:num", TEI)
            assert num is not None and float(num.get("atLeast", "")) == row["lo"]


def test_tei_pointers_lead_somewhere(document: Document, tmp_path: Path) -> None:
    """Every wit and corresp points to an id that stands in the file, and ids are unique."""
    write_tei(document, tmp_path / "x.xml")
    root = ElementTree.parse(tmp_path / "x.xml").getroot()
    ids = [e.get(XML_ID) for e in root.iter() if e.get(XML_ID)]
    assert len(ids) == len(set(ids))
    for element in root.iter():
        for name in ("wit", "corresp"):
            for pointer in (element.get(name) or "").split():
                assert pointer.startswith("#") and pointer[1:] in ids


def test_tei_apparatus_sets_readings_side_by_side(document: Document, tmp_path: Path) -> None:
    """Where witnesses differ the manual's reading is the lemma, the copy's a variant."""
    write_tei(document, tmp_path / "x.xml")
    root = ElementTree.parse(tmp_path / "x.xml").getroot()
    apps = root.findall(".//t:listApp/t:app", TEI)
    assert len(apps) == 3
    speed = next(app for app in apps if "engine speed" in "".join(app.itertext()))
    lemma, reading = speed.find("t:lem", TEI), speed.find("t:rdg", TEI)
    assert lemma is not None and "".join(lemma.itertext()) == "2,850 r.p.m."
    assert reading is not None and "".join(reading.itertext()) == "2,580 r.p.m."
    assert lemma.get("wit") == "#s.s-manual" and reading.get("type") == "variant"


# The terms the files use, each with its address by the W3C Recommendation "Web Annotation
# Vocabulary" (23 February 2017), appendix A; the context itself is on the network.
OA, AS, RDF = (
    "http://www.w3.org/ns/oa#",
    "http://www.w3.org/ns/activitystreams#",
    "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
)
CONTEXT = {
    "id": "@id",
    "type": "@type",
    "language": "http://purl.org/dc/elements/1.1/language",
    "format": "http://purl.org/dc/elements/1.1/format",
    "Text": "http://purl.org/dc/dcmitype/Text",
    "AnnotationCollection": AS + "OrderedCollection",
    "AnnotationPage": AS + "OrderedCollectionPage",
    "first": {"@type": "@id", "@id": AS + "first"},
    "partOf": {"@type": "@id", "@id": AS + "partOf"},
    "items": {"@type": "@id", "@id": AS + "items", "@container": "@list"},
    "total": AS + "totalItems",
    "startIndex": AS + "startIndex",
    "label": "http://www.w3.org/2000/01/rdf-schema#label",
    "value": RDF + "value",
    "conformsTo": {"@type": "@id", "@id": "http://purl.org/dc/terms/conformsTo"},
    "motivation": {"@type": "@vocab", "@id": OA + "motivatedBy"},
    "purpose": {"@type": "@vocab", "@id": OA + "hasPurpose"},
    "body": {"@type": "@id", "@id": OA + "hasBody"},
    "target": {"@type": "@id", "@id": OA + "hasTarget"},
    "source": {"@type": "@id", "@id": OA + "hasSource"},
    "selector": {"@type": "@id", "@id": OA + "hasSelector"},
    "refinedBy": {"@type": "@id", "@id": OA + "refinedBy"},
    **{
        name: OA + name
        for name in (
            "Annotation",
            "TextualBody",
            "FragmentSelector",
            "TextPositionSelector",
            "TextQuoteSelector",
            "describing",
            "tagging",
            "start",
            "end",
            "exact",
        )
    },
}


def test_annotations_are_linked_data(document: Document, tmp_path: Path) -> None:
    """By rdflib: as many annotations as rows, each with body, target, source and selector."""
    oa = rdflib.Namespace(OA)
    for part in ("limits", "not_verified"):
        path = tmp_path / f"{part}.jsonld"
        write_annotations(document, path, part)
        data = json.loads(path.read_text(encoding="utf-8"))
        assert data["@context"][0] == "http://www.w3.org/ns/anno.jsonld"
        assert data["type"] == "AnnotationCollection"
        assert data["total"] == len(data["first"]["items"])
        # Our own two terms hold JSON, not statements; the rest has to be statements.
        data["@context"] = [CONTEXT, {"limitTable": None, "limitRow": None}]
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", DeprecationWarning)  # the parser's own
            graph = rdflib.Graph().parse(data=json.dumps(data), format="json-ld")
        found = set(graph.subjects(rdflib.RDF.type, oa.Annotation))
        rows = {row["row_id"]: row for row in document[part]}
        assert len(found) == len(rows) == data["total"]
        for annotation in found:
            target = graph.value(annotation, oa.hasTarget)
            assert graph.value(target, oa.hasSource) is not None
            selectors = set(graph.objects(target, oa.hasSelector))
            kinds = {k for s in selectors for k in graph.objects(s, rdflib.RDF.type)}
            assert oa.TextQuoteSelector in kinds
            assert graph.value(annotation, oa.motivatedBy) == oa.describing
            assert len(set(graph.objects(annotation, oa.hasBody))) == 2


def test_annotation_selectors_lead_to_the_place(document: Document, tmp_path: Path) -> None:
    """A figure on paper has page and box, one in a recording its time, all their characters."""
    path = tmp_path / "a.jsonld"
    write_annotations(document, path, "limits")
    items = json.loads(path.read_text(encoding="utf-8"))["first"]["items"]
    by_row = {item["limitRow"]["row_id"]: item for item in items}
    box = by_row["f01"]["target"]["selector"][0]
    assert box["value"] == "page=3"
    assert box["refinedBy"]["value"] == "xywh=pixel:72,148,60,10"
    assert by_row["h01"]["target"]["selector"][0]["value"] == "t=95.5"
    for item in items:
        quote = item["target"]["selector"][-1]
        assert quote == {"type": "TextQuoteSelector", "exact": item["limitRow"]["as_written"]}


def test_annotation_names_follow_source_and_row() -> None:
    """A source is named by its digest (RFC 6920), an annotation by source and row."""
    # RFC 6920, section 8.2: the digest of "Hello World!".
    digest = "7f83b1657ff1fc53b92dc18148a1d65dfc2d4b1fa3d677284addd200126d9069"
    assert source_iri(digest) == "ni:///sha-256;f4OxZX_x_FO5LcGBSKHWXfwtSx-j1ncoSt3SABJtkGk"
    assert annotation_iri(digest, "a") == annotation_iri(digest, "a")
    assert annotation_iri(digest, "a") != annotation_iri(digest, "b")
    assert annotation_iri(digest, "a") != annotation_iri("00" * 32, "a")


def test_markdown_shows_hostile_text_as_text(table: LimitTable, tmp_path: Path) -> None:
    """Tags, pipes and fences in a source stay text, and the data still read back."""
    from dataclasses import replace

    from reconcile.publish.markdown import read_markdown

    hostile = "<script>alert(1)</script> | `x` ```` \n```\n## no heading\n# none"
    row = replace(table.rows[0], notes=(hostile,), parameter="a|b <i>", condition=hostile)
    document = make_document(replace(table, title=hostile, rows=(row,), notes=(hostile,)))
    path = tmp_path / "x.md"
    write_markdown(document, path)
    text = path.read_text(encoding="utf-8")
    people = text[: text.index("## Data")]
    assert "<script" not in people and "\n## no heading" not in people
    row_line = next(line for line in people.splitlines() if line.startswith("| a"))
    assert len(re.findall(r"(?<!\\)\|", row_line)) == 9
    back = read_markdown(path)
    assert back["limits"] == document["limits"] and back["title"] == document["title"]


def test_markdown_escapes_are_complete() -> None:
    """Every character that Markdown or HTML gives a meaning is escaped."""
    assert escape_markdown("*a* _b_ [c] `d` | <e> & # ~") == (
        r"\*a\* \_b\_ \[c\] \`d\` \| &lt;e&gt; &amp; \# \~"
    )


def test_variants_are_what_rounding_cannot_explain(samples: ModuleType) -> None:
    """The same boost as manifold pressure, or rounded otherwise, is no variant; another is."""
    from dataclasses import replace
    from fractions import Fraction

    from reconcile.measure.quantity import Quantity
    from reconcile.publish.side import apparatus_rows

    table = samples.sample_table()
    first, other = table.rows[0], next(row for row in table.rows if row.id == "g01")

    def variant(quantity: Quantity) -> bool:
        row = replace(other, figure=replace(other.figure, quantity=quantity))
        rows = apparatus_rows(replace(table, rows=(first, row)))
        return [bool(one["variant"]) for one in rows] == [False, True]

    inches = Quantity(Fraction(42), unit="[in_i'Hg]", kind="pressure", form="absolute",
                      resolution=Fraction(1))  # fmt: skip
    assert not variant(first.figure.quantity)
    assert not variant(inches)
    assert variant(replace(inches, nominal=Fraction(46)))
    assert variant(replace(first.figure.quantity, form="gauge"))
    deep = replace(first.figure.quantity, nominal=Fraction(-20), form="absolute")
    assert variant(deep)
