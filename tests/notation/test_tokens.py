"""Cutting a text into tokens."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.notation import tokens

_PRINTED = st.text(alphabet="0123456789.,'/-+ lIOSZBoabcdmnXYZ:_(){}[]*|\n\t°", max_size=60)


@given(text=_PRINTED.filter(str.isascii), spaced=st.booleans())
@settings(max_examples=300, deadline=None)
def test_plain_letters_are_cut_alike_by_both_patterns(text: str, spaced: bool) -> None:
    """The pattern for texts of ASCII alone cuts them as the pattern for all letters does."""
    short, full = (tokens._cutter(spaced, ascii_only) for ascii_only in (True, False))
    assert [(m.span(), m.lastindex) for m in short.finditer(text)] == [
        (m.span(), m.lastindex) for m in full.finditer(text)
    ]


@given(text=_PRINTED.filter(str.isascii))
@settings(max_examples=200, deadline=None)
def test_pieces_of_plain_letters(text: str) -> None:
    """A cluster of ASCII falls into the same pieces by either pattern."""
    assert tokens._pieces(True).findall(text) == tokens._pieces(False).findall(text)
