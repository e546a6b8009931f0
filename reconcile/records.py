"""Plain records that pass from stage to stage: frozen, picklable, knowing no room.

What a figure *measures* is a `reconcile.measure.quantity.Quantity`, made by the measuring
room and carried here; the records only hand its answers on, so this module imports nobody.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity, SiValue

Status = Literal["read", "repaired", "ambiguous", "unread"]
Form = Literal[
    "absolute", "gauge", "fixed_datum", "below_ambient", "differential", "unknown", "none"
]
Bound = Literal["max", "min", "range", "nominal", "approx"]
Verdict = Literal["agrees", "agrees within rounding", "in doubt", "contradicts", "cannot tell"]

STATUSES: tuple[Status, ...] = ("read", "repaired", "ambiguous", "unread")
FORMS: tuple[Form, ...] = (
    "absolute",
    "gauge",
    "fixed_datum",
    "below_ambient",
    "differential",
    "unknown",
    "none",
)
BOUNDS: tuple[Bound, ...] = ("max", "min", "range", "nominal", "approx")
VERDICTS: tuple[Verdict, ...] = (
    "agrees",
    "agrees within rounding",
    "in doubt",
    "contradicts",
    "cannot tell",
)
TRADITIONS = (
    "british",
    "american",
    "german",
    "soviet",
    "french",
    "italian",
    "japanese",
    "unknown",
)

Span = tuple[int, int]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom from the page's upper left corner, in points."""


@dataclass(frozen=True, slots=True)
class Source:
    """One input file, known by the digest of its bytes."""

    id: str
    name: str
    sha256: str
    medium: str = "text"
    """"pdf", "text", "markdown", "captions", "sheet", "html", "scan" or "photo"."""
    title: str = ""
    edition: str = ""
    date: str = ""
    tradition: str = "unknown"
    role: str = "manual"
    """"manual", "edition", "transcription", "transcript", "paper"."""
    of: str = ""
    """Id of the source this one copies or re-issues, where it does."""
    notes: tuple[str, ...] = ()
    """What was supposed in opening it: an encoding, a medium other than its name says."""


@dataclass(frozen=True, slots=True)
class Word:
    """One printed word: where it stands in its page's text and on the paper."""

    start: int
    end: int
    box: Box
    confidence: float | None = None


@dataclass(frozen=True, slots=True)
class Page:
    """Text of one page (or of one stretch of a transcript), with its words' places.

    `text` keeps the page's layout: columns are held apart by blanks, so that a table set
    in type reads as a table in fixed-width text. Offsets of `words` point into it.
    """

    source_id: str
    number: int
    text: str
    words: tuple[Word, ...] = ()
    width: float = 0.0
    height: float = 0.0
    how: str = "typed"
    """"text layer", "typed", "caption", "sheet", or an OCR engine's name."""
    stamps: tuple[tuple[int, float], ...] = ()
    """(offset in `text`, seconds) of each timed line, ascending."""
    printed_number: str = ""
    notes: tuple[str, ...] = ()
    """What was left out or supposed in reading it: repeated caption lines, no text layer."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a figure stands."""

    source_id: str = ""
    page: int = 0
    line: int = 0
    span: Span = (0, 0)
    box: Box | None = None
    time_s: float | None = None
    row: tuple[str, ...] = ()
    column: tuple[str, ...] = ()
    how: str = "typed"
    confidence: float | None = None


@dataclass(frozen=True, slots=True)
class Candidate:
    """One possible reading of a figure that is not sure."""

    quantity: Quantity
    odds: float
    """Probability among the candidates, 0 to 1."""
    reason: str


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its unit, as read at one place."""

    id: str
    span: Span
    as_written: str
    quantity: Quantity
    status: Status = "read"
    candidates: tuple[Candidate, ...] = ()
    repairs: tuple[str, ...] = ()
    """What was changed or supposed in reading it, a clause each."""
    qualifiers: tuple[str, ...] = ()
    """Words that qualify it (I.A.S., Imperial, per engine, approx.), as written."""
    place: Place = Place()
    parameter: str | None = None
    """What it measures (tables of the limits room), where its own text says so."""
    condition: str | None = None
    """The rating or state it holds for, where its own text says so."""

    @property
    def nominal(self) -> Fraction | None:
        """The single value in the written unit, or None."""
        return self.quantity.nominal

    @property
    def lo(self) -> Fraction | None:
        """Lower end of a range in the written unit, or None."""
        return self.quantity.lo

    @property
    def hi(self) -> Fraction | None:
        """Upper end of a range in the written unit, or None."""
        return self.quantity.hi

    @property
    def plus_minus(self) -> Fraction | None:
        """Symmetric printed tolerance in the written unit, or None."""
        return self.quantity.plus_minus

    @property
    def unit(self) -> str:
        """UCUM code of the written unit."""
        return self.quantity.unit

    @property
    def kind(self) -> str:
        """Quantity kind, a slug of tables/kinds."""
        return self.quantity.kind

    @property
    def reference_form(self) -> Form:
        """Reference form of a pressure; "none" for anything else."""
        return self.quantity.form

    @property
    def resolution(self) -> Fraction | None:
        """Step of the last printed place or fraction, in the written unit."""
        return self.quantity.resolution

    @property
    def si(self) -> SiValue:
        """The figure in SI, in its own reference form."""
        return self.quantity.si

    def absolute(self, height_m: float | None = None) -> SiValue:
        """Absolute pressure; see `reconcile.measure.quantity.Quantity.absolute`."""
        return self.quantity.absolute(height_m)

    def gauge(self, height_m: float | None = None) -> SiValue:
        """Gauge pressure; see `reconcile.measure.quantity.Quantity.gauge`."""
        return self.quantity.gauge(height_m)


@dataclass(frozen=True, slots=True)
class Limit:
    """What one or more figures limit, and when."""

    id: str
    parameter: str | None
    condition: str | None
    bound: Bound
    figure_ids: tuple[str, ...]
    time_limit_s: Fraction | None = None
    time_unlimited: bool = False
    """The paper says there is no limit of time."""
    applies_to: tuple[str, ...] = ()
    """Marks, modifications, serials, fuel grades, heights it holds for, as written."""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """Everything read from one text."""

    figures: tuple[Figure, ...]
    limits: tuple[Limit, ...]
    tradition: str = "unknown"
    tradition_odds: tuple[tuple[str, float], ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Emendation:
    """A proposed reading that would explain a disagreement; never applied by itself."""

    cause: str
    """A slug of tables/checks/causes."""
    proposed: Figure | None
    """The figure to adopt, or None where both may stand."""
    odds: float
    """Posterior probability among the explanations considered, 0 to 1."""
    reason: str = ""
    agrees_with: tuple[str, ...] = ()
    """Slugs of the checks it would satisfy."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What one check saw."""

    check: str
    verdict: Verdict
    evidence: str
    limit_ids: tuple[str, ...] = ()
    figure_ids: tuple[str, ...] = ()
    seen: str = ""
    expected: str = ""
    difference_si: float | None = None
    difference_u: float | None = None
    """Difference in units of its standard uncertainty."""
    emendations: tuple[Emendation, ...] = ()
    steps: tuple[str, ...] = ()
    """The reasoning, step by step: inputs, formula, numbers, source."""


@dataclass(frozen=True, slots=True)
class Ruling:
    """A person's decision. Append-only; `previous` chains it to the one before."""

    number: int
    who: str
    when: str
    target: str
    """Id of the figure or limit ruled on."""
    decision: Literal["accept", "emend", "reject", "leave open"]
    reading: str = ""
    reason: str = ""
    previous: str = ""
    digest: str = ""


@dataclass(frozen=True, slots=True)
class Witness:
    """One source with all that was read from it, in page order."""

    source: Source
    figures: dict[str, Figure] = field(default_factory=dict)
    """By figure id."""
    limits: tuple[Limit, ...] = ()
    notes: tuple[str, ...] = ()
    """What was met on the way: pages with no text layer, amendment slips, ..."""
