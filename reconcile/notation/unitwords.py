"""Reads the unit printed after (or before) a number, composing "per" units as it goes."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from reconcile.notation.lexicon import (
    APART,
    Sense,
    Trie,
    compositions,
    denominator_trie,
    unit_trie,
    walk,
)
from reconcile.notation.tokens import NUMBER, WORD, Tokens
from reconcile.notation.wordsets import word_map, word_set

PER = word_set("per")
_JOINS = word_set("unit-joins")
_ARTICLES = word_set("denominator-articles")
DITTOS = word_set("unit-dittos")

# Units that are also common words: they need a stop, a number glued to them, or no word after.
_WORDLIKE = word_set("wordlike-units")
_NEVER_BEFORE = word_map("no-unit-before")


class UnitMatch(NamedTuple):
    """A unit that ends before token `end`."""

    end: int
    senses: tuple[Sense, ...]
    note: str = ""


@cache
def _sense(unit: str, kind: str, traditions: frozenset[str]) -> Sense:
    return Sense(unit, kind, "", traditions, "after", 1)


def read_unit(tokens: Tokens, i: int, tradition: str, *, apart: bool = False) -> UnitMatch | None:
    """The unit that begins at token `i`, with every sense it can have in `tradition`.

    `apart` reads a unit that stands by itself, as in a heading; otherwise it must not be
    farther from the token before it than a number's unit can be.
    """
    if i >= tokens.n:
        return None
    norm, gap = tokens.norm, tokens.gap
    if norm[i] == "-" and gap[i] == 0 and i + 1 < tokens.n and gap[i + 1] == 0:
        if tokens.kind[i + 1] != WORD or len(norm[i + 1]) < 2:
            return None
        i += 1  # "24-volt", "5-minute"
    if (
        gap[i] >= 2
        and not apart
        and (
            gap[i] > 3
            or (gap[i] == 3 and not _flows_on(tokens, i))
            or (gap[i] == 2 and i and tokens.start[i] - tokens.end[i - 1] > 2)
        )
    ):
        return None
    trie = unit_trie()
    if norm[i] not in trie or (norm[i] == "pa" and "." in tokens.raw(i)):
        return None  # "P.A." is the pressure, and no unit of it
    match = walk(trie, tokens, i)
    if match is None:
        return None
    end = match.end
    if (
        norm[end - 1] == "in"
        and end > i + 1
        and end < tokens.n
        and (norm[end] in _NEVER_BEFORE["in"] and gap[end] < 3)
    ):
        match = walk(trie, tokens, i, stop=end - 1)  # "300 lb. in the bottle"
        if match is None:
            return None
        end = match.end
    if end == i + 1 and norm[i] in _WORDLIKE and not _stands_as_unit(tokens, i):
        return None
    if (
        norm[i] == "in"
        and end == i + 1
        and tradition in _IN_IS_A_WORD
        and gap[i]
        and (is_number(tokens, end))
    ):
        return None  # "280 km/h in 2000 m, 270 in 4000"
    senses = match.what
    if end < tokens.n and norm[end] in PER:
        composed = compose(tokens, end, senses, tradition)
        if composed is not None:
            return composed
    key = (id(senses), tradition)
    used = _USED.get(key)
    if used is None:
        # the tuples live as long as the trie, so their identity will do
        used = tuple(s for s in senses if not s.traditions or tradition in s.traditions)
        _USED[key] = used
    return UnitMatch(end, used) if used else None


_IN_IS_A_WORD = frozenset({"german", "italian"})
_USED: dict[tuple[int, str], tuple[Sense, ...]] = {}


_SMALL_ONLY = word_set("small-letter-units")


def _among_capitals(tokens: Tokens, i: int) -> bool:
    return any(
        0 <= k < tokens.n and len(tokens.norm[k]) > 1 and tokens.raw(k).isupper()
        for k in (i - 2, i + 1, i + 2)
    )


def _flows_on(tokens: Tokens, i: int) -> bool:
    """Whether the line end before token `i` is only where running text was broken."""
    between = tokens.text[tokens.end[i - 1] : tokens.start[i]] if i else "\n"
    if len(between) > 2:
        return False
    if tokens.text[tokens.start[i]].islower():
        return True
    # "2600\nU/min" in running text: German units begin with a capital
    n = tokens.n
    whole = i + 2 < n and tokens.norm[i + 1] == "/" and not tokens.gap[i + 1]
    return bool(whole and i > 1 and tokens.gap[i - 1] == 1 and tokens.kind[i - 2] == WORD)


def _stands_as_unit(tokens: Tokens, i: int) -> bool:
    word = tokens.norm[i]
    if tokens.gap[i] == 0:
        # "2,500in 'S' gear": the blank before a word is lost
        after = tokens.norm[i + 1] if i + 1 < tokens.n else ""
        return word != "in" or not (after in _NEVER_BEFORE["in"] or after == "'")
    n = tokens.n
    if word == "c" and tokens.raw(i) == "c" and i and tokens.kind[i - 1] == NUMBER:
        return False  # "para. 12 c"
    if word in _SMALL_ONLY and tokens.raw(i) != word and not _among_capitals(tokens, i):
        if word == "g" and i and ("." in tokens.norm[i - 1] or tokens.norm[i - 2] in {"+", "-"}):  # noqa: SIM103
            return True  # "+7.5 G"
        return False  # "9 G" is a mark, "9 g" a mass
    if word == "us":
        return "." in tokens.raw(i) and tokens.norm[i + 1 : i + 2] in ([")"], ["."])
    if word == "st":
        # "11 st. 4 lb.", but not "21st", "St."
        k = i + 2 if i + 1 < n and tokens.norm[i + 1] == "." else i + 1
        return k < n and tokens.kind[k] == NUMBER and tokens.gap[k] < 3
    if word in {"a", "v"} and tokens.raw(i).isupper() and not tokens.text.isupper():
        return True  # "40 A au plus"
    if word in _STOPPED:
        return i + 1 < n and tokens.norm[i + 1] in ".,;)" and word not in _NEVER_ALONE
    if i + 1 >= n or tokens.gap[i + 1] >= 3:
        return True
    after = tokens.norm[i + 1]
    if after == "." and tokens.gap[i + 1] == 0:
        return True
    stops = _NEVER_BEFORE.get(word)
    if word == "at" and tokens.kind[i + 1] == NUMBER and tokens.gap[i + 1] < 2:
        return False  # "0.720 at 60 °F"
    if stops is not None:
        return tokens.kind[i + 1] != WORD or (word == "at" and after not in stops)
    return True


def compose(
    tokens: Tokens, end: int, senses: tuple[Sense, ...], tradition: str
) -> UnitMatch | None:
    """`senses` divided by what stands after "per" at token `end`, or None."""
    norm, n = tokens.norm, tokens.n
    denominators: list[str] = []
    ends: list[int] = []
    j = end
    opened = False
    while j < n and tokens.gap[j] < 3:
        if tokens.gap[j] == 2 and tokens.start[j] - tokens.end[j - 1] > APART:
            break  # in another column
        k = j + 1
        if norm[j] in _JOINS and denominators:
            k += k < n and norm[k] in PER  # "par cheval et par heure"
        elif norm[j] not in PER:
            break
        if k < n and norm[k] == "(" and not denominators:
            opened = True  # "g/(kW·h)"
            k += 1
        while k < n and norm[k] in _ARTICLES and tokens.gap[k] < 3:
            if norm[k] == "l" and norm[k + 1 : k + 2] != ["'"]:
                break  # "PS/l": a litre, and no article
            k += 1
        match = walk(denominator_trie(), tokens, k) if k < n else None
        if match is None:
            break
        slug = match.what[0]
        if slug in {"gal"} and len(match.what) > 1:
            slug = match.what[-1]
        denominators.append(slug)
        j = match.end
        ends.append(j)
    if opened and j < n and norm[j] == ")":
        ends[-1] = j + 1
    while denominators:
        out = _divided(senses, " ".join(denominators), tradition)
        if out:
            return UnitMatch(ends[-1], tuple(out))
        denominators.pop()  # "galls./hr.  per gall.": the next column's heading
        ends.pop()
    return None


def _divided(senses: tuple[Sense, ...], key: str, tradition: str) -> list[Sense]:
    """`senses` divided by the denominators `key`, as far as there are such units."""
    table = compositions()
    out: list[Sense] = []
    for sense in senses:
        if sense.traditions and tradition not in sense.traditions:
            continue
        found = table.get((sense.unit, key))
        if found is None and key == "gal" and tradition == "american":
            found = table.get((sense.unit, "galus"))
        elif key == "gal" and tradition == "american":
            found = table.get((sense.unit, "galus"), found)
        if found is not None:
            unit = _sense(*found, sense.traditions)
            if unit not in out:
                out.append(unit)
    return out


def read_unit_before(tokens: Tokens, i: int, tradition: str) -> UnitMatch | None:
    """The unit that stands before the number at token `i` ("lt. 315", "atm. 3,5")."""
    norm, _n = tokens.norm, tokens.n
    j = i - 1
    if j >= 0 and norm[j] in ".=":
        j -= 1
    if (
        j < 0
        or tokens.gap[i] > 3
        or (tokens.gap[i] == 3 and (tokens.end[j] + 1 != tokens.start[i] or tokens.gap[j] > 1))
    ):
        return None
    trie: Trie = unit_trie()
    # In Italian practice, and now and then in French, any unit may go first.
    anywhere = tradition in {"italian", "french"}
    best: UnitMatch | None = None
    for k in range(j, max(-1, j - 8), -1):
        if tokens.kind[k] == NUMBER and norm[k] != "1":
            break
        if norm[k] not in trie or (k < j and tokens.gap[k + 1] >= 3):
            continue
        if norm[k] == "(" and j - k == 2:
            continue  # "(c) +8": a letter that numbers columns or paragraphs
        if k and tokens.kind[k - 1] == NUMBER and tokens.gap[k] < 2:
            continue  # the unit of the number before it
        if norm[k] == "mm" and tokens.raw(k) == "MM" and not tokens.text.isupper():
            continue  # "MM. 5510": a military serial
        match = read_unit(tokens, k, tradition, apart=anywhere)
        if match is None or match.end not in {i, j + 1}:
            continue
        plain = match.end - k == 1 or (match.end - k == 2 and norm[k + 1] == ".")
        if (
            plain
            and len(norm[k]) == 1
            and (
                norm[j + 1] != "."
                or tokens.raw(k) != norm[k]
                or not anywhere
                or norm[k] not in "lm"
            )
        ):
            continue  # "l. 120", but not "L 31"
        senses = tuple(
            s
            for s in match.senses
            if s.place != "after"
            or (anywhere and (s.rank == 1 or s.unit == "mm[Hg]") and _leads(tokens, k, i, s))
        )
        if senses:
            best = UnitMatch(k, senses)
    return best


_NOT_FIRST = word_set("no-unit-before-number")


def _leads(tokens: Tokens, k: int, i: int, sense: Sense) -> bool:
    """Whether a unit that usually follows its number may stand before it here."""
    if tokens.norm[k] in _NOT_FIRST or sense.kind in {"ratio", "other", "voltage"}:
        return False
    if sense.kind == "time":
        # "ore 8,45" is the time of day
        raw = tokens.norm[i]
        return tokens.norm[k] in _HOURS and not (len(raw) > 3 and raw[-3] in ".,:")
    return True


_HOURS = word_set("times-before-number")


def read_ditto(tokens: Tokens, i: int) -> int:
    """End of a ditto mark at token `i`, or 0."""
    n = tokens.n
    if i >= n or tokens.gap[i] >= 3:
        return 0
    norm = tokens.norm[i]
    if tokens.gap[i] > 1 and not (norm in {'"', ",,"} and (i + 1 >= n or tokens.gap[i + 1] >= 2)):
        return 0
    if norm == "d" and i + 1 < n and tokens.norm[i + 1] == "°" and tokens.gap[i + 1] == 0:
        return i + 2
    if norm == "то" and i + 1 < n and tokens.norm[i + 1] == "же":
        return i + 2
    if norm in DITTOS:
        end = i + 1
        if norm in _DITTOS_CUT:
            if end < n and tokens.norm[end] == "." and tokens.gap[end] == 0:
                return end + 1
            return 0 if end < n and tokens.gap[end] < 2 else end
        if end < n and tokens.norm[end] == "." and tokens.gap[end] == 0:
            end += 1
        return end
    return 0


def is_number(tokens: Tokens, i: int) -> bool:
    """Whether token `i` is printed in figures."""
    return i < tokens.n and tokens.kind[i] == NUMBER


_STOPPED = word_set("units-before-a-stop")
_NEVER_ALONE = word_set("never-units-alone")
_DITTOS_CUT = word_set("cut-dittos")
