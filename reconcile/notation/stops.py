"""Whether the full stop after a figure is its unit's own or ends the sentence."""

from __future__ import annotations

from reconcile.notation.tokens import NUMBER, WORD, Tokens

_LONG = 5
"""Letters from which on a word is no abbreviation, unless it is printed as one elsewhere."""


def figure_end(tokens: Tokens, i: int, j: int, unit_at: int, unstopped: frozenset[str]) -> int:
    """Where in the text the figure of tokens `i` to `j` ends, a sentence's stop left out.

    Parameters
    ----------
    tokens : Tokens
    i, j : int
        Tokens of the figure; the last may be a full stop.
    unit_at : int
        Token its unit begins at.
    unstopped : frozenset of str
        Words that the same text prints as units without a stop; see `unstopped_units`.

    Returns
    -------
    end : int
        Offset in the text.
    """
    end = tokens.end[j - 1]
    if j - i < 2 or tokens.norm[j - 1] != "." or not i < unit_at < j - 1:
        return end
    if not _may_end_sentence(tokens, j):
        return end
    own = tokens.norm[unit_at : j - 1]
    word = own[-1]
    if "." in own and len(word) < _LONG:  # "lb./sq. in.": printed with stops throughout
        return end
    stroke = own[-2:-1] == ["/"]
    symbol = stroke and len(word) == 1  # m/s
    if len(word) >= _LONG or symbol or ("/" if stroke else "") + word in unstopped:
        return tokens.end[j - 2]
    return end


def _may_end_sentence(tokens: Tokens, j: int) -> bool:
    if j >= len(tokens) or tokens.gap[j] >= 4:
        return True
    if tokens.gap[j] == 2 or tokens.norm[j] == "|":
        return False  # the end of a cell
    return tokens.gap[j] > 0 and not tokens.text[tokens.start[j]].islower()


def unstopped_units(tokens: Tokens) -> frozenset[str]:
    """Words printed right after a number or a stroke ("/min"), with no stop after them."""
    norm, kind = tokens.norm, tokens.kind
    last = len(tokens) - 1
    return frozenset(
        ("/" if norm[i - 1] == "/" else "") + norm[i]
        for i in range(1, last + 1)
        if kind[i] == WORD
        and (kind[i - 1] == NUMBER or norm[i - 1] in "/°½¼¾")
        and (i == last or norm[i + 1] != ".")
    )
