"""Text layers in which a whole font was taken for another: nothing in them can be trusted.

Such a text shows signs inside its words ("(ngin! sp!!d"); its figures are then any letters,
and whatever looks like a number is not the number that was printed.
"""

from __future__ import annotations

from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense
from reconcile.notation.tokens import BLUR, CODE, NUMBER, SIGN, WORD, Tokens

_INSIDE = frozenset("!(){}[]*|~^@#$&<>=\\§¤;")
_NONE = Sense("1", "other", "", frozenset(), "after", 1)


def is_garbled(tokens: Tokens) -> bool:
    """Whether signs stand inside so many words that a font must have been misread."""
    gap, kind, norm = tokens.gap, tokens.kind, tokens.norm
    if len([i for i, k in enumerate(kind) if k == SIGN and norm[i] in _INSIDE]) < _SPOILT:
        return False  # nearly every text
    n = len(tokens)
    spoilt = words = 0
    seen = -1
    for i in range(n):
        if kind[i] == WORD:
            words += gap[i] > 0 or i == 0
        elif (
            kind[i] == SIGN
            and norm[i] in _INSIDE
            and i + 1 < n
            and gap[i + 1] == 0
            and kind[i + 1] == WORD
            and (norm[i] not in "([{" or _unclosed(tokens, i))
        ):
            if norm[i] in "*=&#" and not (i and gap[i] == 0 and kind[i - 1] == WORD):
                continue
            if i - seen > 2:
                spoilt += 1
            seen = i
    return spoilt >= _SPOILT and spoilt * 4 >= words


_SPOILT = 3
"""Signs inside words that are too many for chance."""


def _unclosed(tokens: Tokens, i: int) -> bool:
    """Whether an opening bracket has no fellow within the next words."""
    return not any(tokens.norm[j] in ")]}" for j in range(i + 1, min(len(tokens), i + 24)))


def find_spoilt(tokens: Tokens) -> list[Draft]:
    """Whatever could have been a figure in a garbled text, none of them with a value."""
    found = []
    i, n = 0, len(tokens)
    while i < n:
        raw = tokens.raw(i)
        capitals = sum(c.isupper() for c in raw)
        figure = tokens.kind[i] in {NUMBER, BLUR, CODE} or (
            tokens.kind[i] == WORD and capitals >= 2 and tokens.gap[i] > 0
        )
        if figure:
            draft = Draft(i, i + 1)
            draft.void = True
            draft.senses = (_NONE,)
            draft.notes.append("the text is misread throughout; no figure in it can be trusted")
            draft.start, draft.end = tokens.start[i], tokens.end[i]
            found.append(draft)
        i += 1
    return found
