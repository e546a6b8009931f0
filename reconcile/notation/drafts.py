"""A figure on its way: what was printed, before anybody knows what it measures."""

from __future__ import annotations

from fractions import Fraction

from reconcile.notation.lexicon import Sense


class Draft:
    """One number, range or compound with the unit printed beside it, if any.

    `other` holds (nominal, lo, hi, resolution) as the number marks would read if decimal
    and thousands marks changed places.
    """

    # Defaults stand on the class: a page makes hundreds of drafts, and most fields never change.
    start = end = 0
    nominal: Fraction | None = None
    lo: Fraction | None = None
    hi: Fraction | None = None
    plus_minus: Fraction | None = None
    resolution: Fraction | None = None
    other: tuple[Fraction | None, Fraction | None, Fraction | None, Fraction] | None = None
    senses: tuple[Sense, ...] = ()
    sense: Sense | None = None
    sign = ""
    slash = False
    spoken = False
    heard = False
    bounded = False
    void = False
    ditto = False
    repeats = False
    odd_mark = False
    doubtful = False
    words_only = False
    unit_at = unit_end = -1
    parameter = ""
    kind = ""
    likely = ""

    def __init__(self, i: int, j: int) -> None:
        self.i = i
        self.j = j
        self.notes: list[str] = []
        self.supposed: list[str] = []

    @property
    def value(self) -> Fraction | None:
        """A representative number: the single value or the upper end."""
        if self.nominal is not None:
            return self.nominal
        return self.hi if self.hi is not None else self.lo
