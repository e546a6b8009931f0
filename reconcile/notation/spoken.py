"""Numbers in words: "ten", "seventeen hundred", "two sixty", "three zero point zero five".

Speech runs pairs of figures together ("twenty five fifty" is 2,550) and spells digits out;
captions put other words for what was heard ("nine tea five"). Both are rows of
tables/notation/numerals.csv.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import NamedTuple

from reconcile.notation.lexicon import _END, Trie, split_form, walk
from reconcile.notation.numerals import read_numeral
from reconcile.notation.tokens import NUMBER, Tokens
from reconcile.notation.wordsets import word_set
from reconcile.reference import load_rows


class Word(NamedTuple):
    """One number word."""

    role: str
    value: Fraction
    heard: bool


class Spoken(NamedTuple):
    """A number in words, ending before token `end`."""

    end: int
    value: Fraction
    resolution: Fraction
    heard: bool
    """Some word of it was misheard."""
    words: int


@cache
def number_words(languages: tuple[str, ...]) -> tuple[Trie, frozenset[str]]:
    """Trie of the number words of `languages`, and the words a number can begin with."""
    trie: Trie = {}
    first = set()
    for language, pieces, word in _spellings():
        if language not in languages:
            continue
        node = trie
        for piece in pieces:
            node = node.setdefault(piece, {})
        node.setdefault(_END, []).append(word)
        if word.role not in {"mark", "link"}:
            first.add(pieces[0])
    assert _END not in first
    return trie, frozenset(first)


@cache
def _spellings() -> list[tuple[str, list[str], Word]]:
    """Language, tokens and meaning of every spelling of a number word."""
    found = []
    for row in load_rows("notation/numerals"):
        word = Word(row["role"], Fraction(row["value"]), row["heard"] == "yes")
        for form in row["forms"].split("|"):
            found.append((row["language"], split_form(form), word))
    return found


def read_spoken(
    trie: Trie, tokens: Tokens, i: int, *, speech: bool, lone: bool = False
) -> Spoken | None:
    """Read the number in words at token `i`.

    Parameters
    ----------
    trie : dict
        From `number_words`.
    speech : bool
        The text is someone talking: pairs run together, and misheard words are allowed.
    lone : bool
        One misheard word may be a number by itself ("plus ate").
    """
    words: list[tuple[Word, int]] = []
    j = i
    n = tokens.n
    while j < n:
        if (
            words
            and tokens.gap[j] >= 3
            and tokens.text[tokens.end[j - 1] : tokens.start[j]].count("\n") > 1
        ):
            break
        if tokens.norm[j] == "-" and words and j + 1 < n and tokens.gap[j] == 0:
            j += 1  # "twenty-five", "one-two-one"
            continue
        match = walk(trie, tokens, j, hyphens=False)
        if match is None:
            if speech and tokens.kind[j] == NUMBER and words:
                numeral = read_numeral(tokens.norm[j], False)
                if numeral is not None and numeral.resolution == 1 and numeral.value < 1000:
                    role = "digit" if numeral.value < 10 else "teen"
                    words.append((Word(role, numeral.value, False), j + 1))
                    j += 1
                    continue
            break
        choice = min(match.what, key=lambda w: w.heard)
        if choice.heard and not speech:
            break
        end = match.end
        if choice.heard and words and _may_end(words):
            after = walk(trie, tokens, end, hyphens=False)
            if after is not None and not all(w.heard for w in after.what):
                break  # "three thousand for three minutes"
        if tokens.norm[end - 1] == ".":
            words.append((choice, end - 1))
            break
        words.append((choice, end))
        j = end
    while words and words[-1][0].role in {"link", "mark", "article"}:
        words.pop()
    # "to", "for" and their like are numbers only when figures stand on both sides.
    while words and words[-1][0].heard and words[-1][0].role == "digit" and not lone:
        if len(words) > 2 and not words[-1][0].value and words[-2][0].role == "digit":
            break  # "two six five oh"
        if len(words) > 1 and words[-2][0].role in {"ten", "hundred"} and words[-1][0].value not in {  # noqa: E501
            2, 4,
        }:  # fmt: skip
            break
        words.pop()
    if lone and words and words[0][0].heard:
        words = words[:1] if words[0][0].role == "digit" else words
    elif not words or (words[0][0].heard and (len(words) == 1 or words[0][0].role == "digit")):
        return None
    if not words:
        return None
    if words[0][0].role == "link":
        return None
    found = _total(words, speech)
    if (
        speech
        and found is not None
        and found.value > 1000
        and found.end < n
        and (tokens.norm[found.end] in _BOOST_WORDS)
    ):
        roles = [word.role for word, _ in words]
        if "link" in roles and (at := roles.index("link")) > 0 and roles[at - 1] == "thousand":
            turns = _total(words[:at], speech)  # "three thousand and eighteen pounds"
            if turns is None or turns.value >= 1800:  # but "one thousand and fifty pounds"
                return turns
    return found


def _may_end(words: list[tuple[Word, int]]) -> bool:
    """Whether a number is whole: a round one, or a pair such as "thirty-one fifty"."""
    roles = [word.role for word, _ in words]
    if roles[-1] in {"thousand", "hundred"}:
        return True
    return roles[-1] in {"ten", "teen"} and any(role in {"ten", "teen"} for role in roles[:-1])


_BOOST_WORDS = word_set("spoken-boost")
"""Words behind a number that is no thousands."""


def _total(words: list[tuple[Word, int]], speech: bool) -> Spoken | None:
    total = Fraction(0)
    group: Fraction | None = None
    step = Fraction(1)
    end = 0
    heard = False
    k = 0
    count = len(words)
    last_role = ""
    digits_run = 0
    while k < count:
        word, stop = words[k]
        role = word.role
        nxt = words[k + 1][0] if k + 1 < count else None
        if role == "article":
            if nxt is None or nxt.role not in {"hundred", "thousand", "part"}:
                break
            if nxt.role != "part":
                group = Fraction(1) if group is None else group
        elif role == "link":
            if nxt is None or last_role not in {"hundred", "thousand", "digit", "teen", "ten"}:
                break
            if nxt.role == "digit" and not nxt.value:
                break  # "twenty three hundred and zero boost"
            if last_role in {"digit", "teen", "ten"}:
                after = words[k + 2][0] if k + 2 < count else None
                part = nxt.role == "part" or (
                    nxt.role == "article" and after is not None and after.role == "part"
                )
                if not part:
                    break
        elif role == "part":
            if last_role in {"digit", "teen", "ten"} and words[k - 1][0].role not in {
                "link", "article",
            }:  # fmt: skip
                break
            group = (group or Fraction(0)) + word.value
            step = Fraction(1, word.value.denominator)
            end, last_role = stop, role
            k += 1
            if nxt is not None and nxt.role == "thousand":
                continue  # "two and a half thousand"
            break
        elif role == "hundred":
            group = (Fraction(1) if group is None else group) * 100
            step = Fraction(100)
        elif role == "thousand":
            total += (Fraction(1) if group is None else group) * 1000
            group = None
            step = Fraction(1000)
        elif role == "mark":
            decimals = ""
            m = k + 1
            while m < count and words[m][0].role in {"digit", "teen", "ten"}:
                value = words[m][0].value
                if words[m][0].role == "ten" and m + 1 < count and words[m + 1][0].role == "digit":
                    value += words[m + 1][0].value
                    m += 1
                decimals += str(value)
                heard = heard or words[m][0].heard
                m += 1
            if not decimals:
                break
            group = (group or Fraction(0)) + Fraction(int(decimals), 10 ** len(decimals))
            step = Fraction(1, 10 ** len(decimals))
            end = words[m - 1][1]
            k = m
            last_role = role
            break
        else:
            value = word.value
            if group is None:
                group = value
                digits_run = 1 if role == "digit" else 0
                step = Fraction(10) if role == "ten" else Fraction(1)
            elif last_role in {"hundred", "link"} or (last_role == "hundred"):
                if group % 100:
                    break
                group += value
                step = Fraction(10) if role == "ten" else Fraction(1)
            elif last_role == "ten" and role == "digit" and value:
                group += value
                step = Fraction(1)
            elif role == "digit" and digits_run:
                group = group * 10 + value
                digits_run += 1
                step = Fraction(1)
            elif role in {"ten", "teen"} and group < 100 and speech:
                # pair speech: "two sixty", "twenty five fifty"
                group = group * 100 + value
                step = Fraction(10) if role == "ten" else Fraction(1)
                digits_run = 0
            elif role == "digit" and not value and speech and last_role in {"ten", "teen", "digit"}:
                group = group * 10
                digits_run = 1
            else:
                break
            if role == "digit" and last_role == "teen":
                digits_run = 0
        heard = heard or word.heard
        if role != "link" and role != "article":
            end = stop
        last_role = role
        k += 1
    if group is None and not total:
        return None
    value = total + (group or 0)
    if end == 0:
        return None
    return Spoken(end, value, step, heard, k)
