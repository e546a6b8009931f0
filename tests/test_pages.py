"""Pages: places, lasting ids, and tables that go on over the page."""

from __future__ import annotations

from reconcile.pages import detect_tradition, read_page
from reconcile.records import Page, Word

FIRST = (
    "LIMITS\n\nRating      R.p.m.  Boost lb./sq.in.\n"
    "Take-off    3,000   +12\nClimb       2,850   +9\n"
)
SECOND = "\nCruise      2,650   +4\nIdling      600     -4\n"


def test_a_table_broken_by_a_page_keeps_its_headings() -> None:
    """Rows on the next page are read under the headings of the page before."""
    page = Page("s", 2, SECOND)
    reading = read_page(page, tradition="british", before=FIRST)
    assert [(f.as_written, f.unit) for f in reading.figures] == [
        ("2,650", "{rev}/min"),
        ("+4", "[psi]"),
        ("600", "{rev}/min"),
        ("-4", "[psi]"),
    ]
    for figure in reading.figures:
        assert SECOND[slice(*figure.span)] == figure.as_written
    assert [limit.parameter for limit in reading.limits] == ["engine speed", "boost"] * 2


def test_places_boxes_times_and_confidence() -> None:
    """A figure knows its line, the box of its words, its time and how surely it was read."""
    text = "Oil pressure\nnormal 80 lb./sq.in."
    words = tuple(
        Word(start, end, (float(start), 10.0, float(end), 20.0), sure)
        for start, end, sure in ((0, 3, 0.9), (4, 12, 0.9), (13, 19, 0.9), (20, 22, 0.7),
                                 (23, 33, 0.8))
    )  # fmt: skip
    page = Page("s", 4, text, words, how="engine", stamps=((0, 61.0), (13, 65.0)))
    (figure,) = read_page(page, tradition="british").figures
    place = figure.place
    assert (place.page, place.line, place.time_s, place.how) == (4, 2, 65.0, "engine")
    assert place.box == (20.0, 10.0, 33.0, 20.0)
    assert place.confidence == 0.7


def test_ids_last_and_differ() -> None:
    """The same page gives the same ids again; the same words elsewhere give others."""
    page, other = Page("s", 1, FIRST), Page("s", 2, FIRST)
    ids = [f.id for f in read_page(page, tradition="british").figures]
    assert ids == [f.id for f in read_page(page, tradition="british").figures]
    assert not set(ids) & {f.id for f in read_page(other, tradition="british").figures}
    assert len(set(ids)) == len(ids)


def test_tradition_by_the_text() -> None:
    """The odds add up, and plain signs decide."""
    odds = detect_tradition("Ladedruck beim Start 1,42 ata, Drehzahl 2600 U/min")
    assert odds[0][0] == "german"
    assert abs(sum(p for _, p in odds) - 1) < 1e-9
