"""Units spoilt by printing, scanning or captioning: "lb./sg.in.", "kg/cm'", "square itch".

A misprinted unit is looked up by a skeleton in which letters that are taken for one another
are the same, so "ln" finds "in" and "ib" finds "lb" without a list of misspellings.
"""

from __future__ import annotations

from functools import cache, lru_cache

from reconcile.notation.lexicon import Sense, senses_of, split_form, unit_trie
from reconcile.notation.tokens import NUMBER, Tokens
from reconcile.notation.unitwords import UnitMatch, read_unit
from reconcile.notation.wordsets import word_set
from reconcile.reference import load_rows

_SKELETON = str.maketrans({
    "i": "l", "1": "l", "|": "l", "j": "l", "!": "l", "í": "l", "t": "l",
    "g": "q", "9": "q", "0": "o", "8": "b", "h": "b", "6": "b", "5": "s", "x": "s", "y": "v",
    "с": "c", "е": "e", "о": "o", "р": "p", "а": "a", "х": "x", "m": "n", "ü": "u", "u": "n",
    "é": "e", "è": "e", "'": "2", '"': "2", "?": "2", "°": "2",
})  # fmt: skip


@lru_cache(maxsize=16384)
def skeleton(text: str) -> str:
    """`text` with everything that scanning confuses made alike."""
    out = text.replace("rn", "m").replace("cl", "d").replace("ii", "u")
    return out.translate(_SKELETON)


@cache
def _skeletons() -> dict[str, tuple[Sense, ...]]:
    """Units of at least two words or four letters by the skeleton of their letters."""
    found: dict[str, list[Sense]] = {}
    for row in load_rows("notation/units"):
        if row["rank"] != "1" or row["kind"] not in _KINDS:
            continue
        sense = Sense(
            row["unit"], row["kind"], row["form"], frozenset(row["traditions"].split()),
            row["place"], 1,
        )  # fmt: skip
        for form in row["forms"].split("|"):
            pieces = split_form(form)
            joined = "".join(pieces)
            if len(joined) < 3 or (len(pieces) == 1 and joined not in _LONE):
                continue
            senses = found.setdefault(skeleton(joined), [])
            if sense not in senses:
                senses.append(sense)
    return {k: tuple(v) for k, v in found.items()}


@cache
def _begun_skeletons() -> frozenset[str]:
    """Every beginning of a skeleton, so that a word which is no unit is let go at once."""
    return frozenset(key[:n] for key in _skeletons() for n in range(len(key) + 1))


@cache
def _lone_skeletons() -> frozenset[str]:
    return frozenset(skeleton(word) for word in _LONE)


_KINDS = frozenset({"pressure", "rotational_speed", "speed", "specific_consumption"})
_LONE = word_set("misprinted-alone")


@cache
def _heard() -> dict[str, tuple[tuple[tuple[str, ...], str], ...]]:
    """Phrases captions put for a unit, by their first word."""
    by_first: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    for row in load_rows("notation/misheard"):
        for form in row["heard"].split("|"):
            words = tuple(split_form(form))
            by_first.setdefault(words[0], []).append((words, row["meant"]))
    return {k: tuple(sorted(v, key=lambda x: -len(x[0]))) for k, v in by_first.items()}


def read_misprinted_unit(
    tokens: Tokens, i: int, tradition: str, clean: UnitMatch | None, *, speech: bool
) -> UnitMatch | None:
    """A spoilt unit at token `i` that reaches further than the clean one, or None."""
    n = tokens.n
    norm, gap = tokens.norm, tokens.gap
    reach = clean.end if clean is not None else i
    if speech:
        for words, meant in _heard().get(norm[i], ()) if i < n else ():
            if tuple(norm[i : i + len(words)]) == words and i + len(words) > reach:
                senses = _named(meant, tradition)
                if senses:
                    said = " ".join(words)
                    return UnitMatch(i + len(words), senses, f"{said!r} heard for {meant!r}")
    if clean is None and i < n and "rn" in norm[i] and gap[i] < 2:
        printed, norm[i] = norm[i], norm[i].replace("rn", "m")
        mended = read_unit(tokens, i, tradition)
        if mended is not None:
            return mended._replace(note=f"{printed!r} read as {norm[i]!r}")
        norm[i] = printed
    if i < n and norm[i] in ",;" and (i + 1 >= n or gap[i + 1]):
        return None
    if i + 1 < n and norm[i] == "in" and gap[i + 1] and tokens.raw(i + 1) in _GEARS:
        return None  # "+9 in M gear"
    if clean is not None and (reach >= n or gap[reach] > 1 or norm[reach] not in GOES_ON):
        return None
    if i >= n or tokens.kind[i] == NUMBER or gap[i] > 1:
        return None
    table = _skeletons()
    begun = _begun_skeletons()
    lone = _lone_skeletons()
    best: UnitMatch | None = None
    joined = ""
    j = i
    while j < n and j - i < 9 and gap[j] < 2:
        if j > i and tokens.kind[j] == NUMBER and len(norm[j]) > 1:
            break
        piece = norm[j]
        j += 1
        if piece in ".,":
            continue
        joined += piece
        if j <= reach:
            continue
        key = skeleton(joined)
        if len(joined) > 2 and (found := table.get(key)) and (j == i + 1 or key not in lone):
            fit = tuple(s for s in found if not s.traditions or tradition in s.traditions)
            if fit:
                best = UnitMatch(j, fit, "")
        if key[:-1] not in begun:
            break  # whatever follows; the last letter may still become part of another
    if best is None:
        return None
    if best.end < n and norm[best.end] == "." and gap[best.end] == 0:
        best = best._replace(end=best.end + 1)
    printed = tokens.text[tokens.start[i] : tokens.end[best.end - 1]]
    return best._replace(note=f"misprinted unit {printed!r} read as {best.senses[0].unit}")


_GEARS = word_set("gear-letters")
"""Letters of gears, of the supercharger's and the like."""
GOES_ON = word_set("misprinted-unit-goes-on")


@cache
def _named(form: str, tradition: str) -> tuple[Sense, ...]:
    node = unit_trie()
    for piece in split_form(form):
        node = node.get(piece, {})
    return tuple(s for s in senses_of(node) if not s.traditions or tradition in s.traditions)
