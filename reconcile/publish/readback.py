"""A source read back in the units a reader chooses: its own words, each figure marked.

Nothing of the original is changed: the marks stand around its characters and the
equivalents beside its lines, so that taking them away gives the page's text back. An
equivalent states its reference form and is rounded so that no limit grows; a figure that is
not sure says so and has none.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from reconcile.errors import UnknownUnitError
from reconcile.measure.display import describe
from reconcile.measure.quantity import Quantity
from reconcile.measure.units import UnitRow, all_units, unit_row
from reconcile.publish.columns import printable
from reconcile.publish.equivalents import equivalents_of, figure_equivalents
from reconcile.publish.rows import CAUTIONS
from reconcile.records import Figure, Limit, Page, Source

LEGEND = (
    "Figures are marked; beside each stands what it comes to in modern units, rounded so that "
    "no limit grows by it: a maximum down, a minimum up, a range inwards, others to the nearest. "
    "The words are the source's own."
)
UNCHECKED = "Figures are as read from this source alone; nothing here says that they were proved."


_SIDES = {"max": "at most ", "min": "at least ", "approx": "about "}


@dataclass(frozen=True, slots=True)
class Mark:
    """One figure of a page with what is said of it."""

    start: int
    end: int
    figure: Figure
    said: str
    """Equivalents, or why there are none."""
    doubt: str
    """What keeps the figure from being sure; blank where nothing does."""

    @property
    def line(self) -> str:
        """Figure, equivalents and doubt as one line of text."""
        text = f"{' '.join(self.figure.as_written.split())} = {self.said}"
        return f"{text} ({self.doubt})" if self.doubt else text


@dataclass(frozen=True, slots=True)
class ReadbackPage:
    """One page's text with its marks, in order and apart from each other."""

    page: Page
    text: str
    marks: tuple[Mark, ...]

    def lines(self) -> Iterable[tuple[int, str, tuple[Mark, ...]]]:
        """(offset, text, marks that end on it) of each line.

        A figure that runs over a line's end is marked on both, and said on the second.
        """
        at = 0
        for line in self.text.split("\n"):
            end = at + len(line)
            yield at, line, tuple(m for m in self.marks if at < m.end <= end)
            at = end + 1

    def pieces(self, start: int, end: int) -> Iterable[tuple[str, Mark | None]]:
        """The text between two offsets, cut where figures begin and end."""
        at = start
        for mark in self.marks:
            if mark.end <= start or mark.start >= end:
                continue
            left, right = max(mark.start, start), min(mark.end, end)
            if left > at:
                yield self.text[at:left], None
            yield self.text[left:right], mark
            at = right
        if at < end:
            yield self.text[at:end], None


@dataclass(frozen=True, slots=True)
class Readback:
    """A whole source read back."""

    source: Source
    pages: tuple[ReadbackPage, ...]
    units: tuple[str, ...] = ()
    """Units chosen, as UCUM codes; none for the usual ones."""
    checked: bool = False
    """Whether the standing of each figure was known."""
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def title(self) -> str:
        """Title of the paper, else its file name."""
        return printable(self.source.title or self.source.name) or "Source"

    @property
    def rests_on(self) -> str:
        """The file, its digest and the release that read it, in one line."""
        from reconcile.version import __version__

        name = printable(self.source.name)
        return f"{name}, SHA-256 {self.source.sha256}, read by reconcile {__version__}"

    @property
    def remarks(self) -> tuple[str, ...]:
        """Legend and cautions, a sentence or two each."""
        return (LEGEND, *(() if self.checked else (UNCHECKED,)), *self.cautions)


@cache
def _by_symbol() -> dict[str, UnitRow]:
    found: dict[str, UnitRow] = {}
    for row in all_units():
        for name in (row.symbol, row.name):
            if name and not row.of:
                found.setdefault(_bare(name), row)
    return found


def _bare(text: str) -> str:
    return "".join(text.casefold().split()).replace(".", "")


def find_unit(text: str) -> UnitRow:
    """A unit by its UCUM code, slug, symbol or name, as a person would type it.

    Raises
    ------
    UnknownUnitError
        No such unit; the sentence names near misses.

    Examples
    --------
    >>> find_unit("in.Hg").ucum, find_unit("bar").ucum, find_unit("°F").ucum
    ("[in_i'Hg]", 'bar', '[degF]')
    """
    try:
        return unit_row(text)
    except UnknownUnitError:
        if _bare(text) in _by_symbol():
            return _by_symbol()[_bare(text)]
        raise


def mark_page(
    page: Page,
    figures: Sequence[Figure],
    limits: Sequence[Limit] = (),
    *,
    units: Sequence[str] = (),
    standings: Mapping[str, str] | None = None,
) -> ReadbackPage:
    """Mark the figures of a page.

    Parameters
    ----------
    page : Page
    figures : sequence of Figure
        Those read from it; spans count in its text.
    limits : sequence of Limit
        They say which side a figure bounds, and so which way it is rounded.
    units : sequence of str
        UCUM codes or slugs of the units wanted; by default the usual ones. A figure of a
        kind that none of them fits gets the usual ones.
    standings : mapping of figure id to str, optional
        What is known of a figure where that is not "verified", with the reason.

    Returns
    -------
    ReadbackPage
    """
    bounds = {fid: limit.bound for limit in limits for fid in limit.figure_ids}
    marks: list[Mark] = []
    for figure in sorted(figures, key=lambda f: (f.span[0], -f.span[1])):
        start, end = max(0, figure.span[0]), min(len(page.text), figure.span[1])
        if start >= end or (marks and start < marks[-1].end):
            continue  # a reading within a reading: the outer one says it
        bound = bounds.get(figure.id, "nominal")
        said, doubt = _said(figure, bound, units)
        if standings and standings.get(figure.id):
            doubt = "; ".join(part for part in (doubt, standings[figure.id]) if part)
        marks.append(Mark(start, end, figure, said, doubt))
    # The same length with pictures for control characters, so that spans still fit.
    return ReadbackPage(page, printable(page.text) or "", tuple(marks))


def _said(figure: Figure, bound: str, units: Sequence[str]) -> tuple[str, str]:
    """What is said of a figure, and what keeps it from being sure."""
    if figure.status == "unread":
        return "not read", "no number could be made out"
    if figure.status == "ambiguous":
        ways = [
            f"{_plain(equivalents_of(c.quantity, bound, units), c.quantity)} "
            f"({c.odds:.0%}, {c.reason})"
            for c in figure.candidates
        ]
        return "not sure", "may be " + " or ".join(ways) if ways else "more than one reading"
    found = equivalents_of(figure.quantity, bound, units) if units else ()
    found = found or figure_equivalents(figure, bound)
    doubt = "; ".join(figure.repairs) if figure.status == "repaired" else ""
    said = _SIDES.get(bound, "") + _plain(found, figure.quantity)
    return said, f"repaired: {doubt}" if doubt else ""


def _plain(found: Sequence[object], quantity: Quantity) -> str:
    return "; ".join(map(str, found)) if found else describe(quantity)


def read_back(
    source: Source,
    pages: Iterable[tuple[Page, Sequence[Figure], Sequence[Limit]]],
    *,
    units: Sequence[str] = (),
    standings: Mapping[str, str] | None = None,
) -> Readback:
    """Read a source back in the units a reader chooses.

    Parameters
    ----------
    source : Source
    pages : iterable of (Page, figures, limits)
    units : sequence of str
        UCUM codes, slugs, symbols or names.
    standings : mapping of figure id to str, optional
        See `mark_page`; given, the readback says that figures were checked.

    Raises
    ------
    UnknownUnitError
        One of `units` is no unit.
    """
    slugs = tuple(find_unit(unit).slug for unit in units)
    marked = tuple(
        mark_page(page, figures, limits, units=slugs, standings=standings)
        for page, figures, limits in pages
    )
    return Readback(source, marked, slugs, standings is not None)
