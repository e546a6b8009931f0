"""A figure on its way: what was printed, before anybody knows what it measures."""

from __future__ import annotations

from fractions import Fraction

from reconcile.notation.lexicon import Sense


class Draft:
    """One number, range or compound with the unit printed beside it, if any.

    `other` holds (nominal, lo, hi, resolution) as the number marks would read if decimal
    and thousands marks changed places.
    """

    __slots__ = (
        "alternatives", "bounded", "ditto", "doubtful", "end", "heard", "hi", "i", "j", "kind", "lo",
        "nominal", "notes", "odd_mark", "other", "parameter", "plus_minus", "repeats", "resolution", "sense",
        "senses", "sign", "slash", "spoken", "start", "step_off", "supposed", "unit_at", "unit_end",
        "unit_match_note", "void", "words_only",
    )  # fmt: skip

    def __init__(self, i: int, j: int) -> None:
        self.i = i
        self.j = j
        self.start = self.end = 0
        self.nominal: Fraction | None = None
        self.lo: Fraction | None = None
        self.hi: Fraction | None = None
        self.plus_minus: Fraction | None = None
        self.resolution: Fraction | None = None
        self.other: tuple[Fraction | None, Fraction | None, Fraction | None, Fraction] | None = None
        self.senses: tuple[Sense, ...] = ()
        self.sense: Sense | None = None
        self.sign = ""
        self.slash = False
        self.spoken = False
        self.heard = False
        self.bounded = False
        self.void = False
        self.ditto = False
        self.repeats = False
        self.odd_mark = False
        self.doubtful = False
        self.words_only = False
        self.notes: list[str] = []
        self.supposed: list[str] = []
        self.unit_at = -1
        self.unit_end = -1
        self.parameter = ""
        self.kind = ""
        self.alternatives: list[tuple[Fraction, str]] = []

    @property
    def value(self) -> Fraction | None:
        """A representative number: the single value or the upper end."""
        return self.nominal if self.nominal is not None else self.hi if self.hi is not None else self.lo
