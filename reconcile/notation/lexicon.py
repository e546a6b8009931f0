"""The vocabulary under tables/notation, compiled once a language into look-up tries.

A phrase is found by walking nested dicts token by token, so its cost does not grow with the
number of phrases. A word in a table that ends in ``*`` stands for every word so beginning.
"""

from __future__ import annotations

import json
import re
from bisect import bisect_left
from collections.abc import Callable
from functools import cache, partial
from typing import Any, NamedTuple

from reconcile.notation.compiled import load_compiled
from reconcile.notation.spellings import spelt_otherwise
from reconcile.notation.tokens import LETTERS, Tokens
from reconcile.notation.wordsets import word_set
from reconcile.reference import load_rows

LANGUAGES = ("english", "german", "russian", "french", "italian", "japanese")
_FILES = ("subjects", "conditions", "words")
_PIECE = re.compile(rf"[{LETTERS}\d]+\*?|\S")
_END = ""
_INNER = {
    "subject": frozenset({"condition", "bound", "generic"}),
    "condition": frozenset({"bound"}),
}
"""Which roles single words inside a longer phrase of a role may keep."""

_NO_BOUND = word_set("aims-not-bounds")
"""Conditions whose "maximum" is the aim, and no bound."""

Trie = dict[str, Any]


class Term(NamedTuple):
    """One meaning of a phrase."""

    role: str
    value: str
    group: str
    only: tuple[str, ...]


class Sense(NamedTuple):
    """One meaning of a written unit."""

    unit: str
    kind: str
    form: str
    traditions: frozenset[str]
    place: str
    rank: int


class Mention(NamedTuple):
    """A phrase of the vocabulary where it stands: tokens `i` to `j` (excluded)."""

    i: int
    j: int
    terms: tuple[Term, ...]

    def has(self, role: str) -> bool:
        """Whether one of its meanings has that role."""
        for term in self.terms:  # no generator: most mentions have one term  # noqa: SIM110
            if term[0] == role:
                return True
        return False


class Match(NamedTuple):
    """Where a trie walk ended, and what stands there."""

    end: int
    what: tuple[Any, ...]


def split_form(form: str) -> list[str]:
    """Tokens of a phrase in a table."""
    return [_fold_piece(p) for p in _PIECE.findall(form)]


def _fold_piece(piece: str) -> str:
    return piece.lower().replace("ё", "е").replace("″", '"').replace("′", "'").replace("’", "'")


def _add(trie: Trie, form: str, what: Any) -> list[str]:
    node = trie
    pieces = split_form(form)
    for piece in pieces:
        node = node.setdefault(piece, {})
    node.setdefault(_END, []).append(what)
    return pieces


def _tables_of(language: str) -> tuple[str, ...]:
    return (*(f"notation/{file}-{language}" for file in _FILES), "notation/spellings")


def _build_language(language: str) -> dict[str, Any]:
    """A language's phrases as a trie whose leaves number the terms they can mean."""
    trie: Trie = {}
    numbers: dict[str, int] = {}
    first = LANGUAGES.index(language) * _BLOCK
    derived: list[tuple[tuple[str, ...], int]] = []
    exact: set[tuple[str, ...]] = set()
    for file in _FILES:
        for row in load_rows(f"notation/{file}-{language}"):
            line = "\t".join((row["role"], row["value"], row["group"], row["only"]))
            term = numbers.setdefault(line, first + len(numbers))
            for form in row["forms"].split("|"):
                pieces = tuple(split_form(form))
                exact.add(pieces)
                _keep(trie, pieces, term)
                if language != "english":
                    derived += [
                        (other, term)
                        for other in spelt_otherwise(language, pieces, inflect=file != "words")
                    ]
    for pieces, term in derived:
        if pieces not in exact:
            _keep(trie, pieces, term)
    stems: set[str] = set()
    _stems_of(trie, stems)
    return {"terms": list(numbers), "stems": sorted(stems), "roots": trie}


# A line of a compiled table is JSON with nothing around it: no need to look for more.
_decode = json.JSONDecoder().scan_once  # type: ignore[attr-defined]

_BLOCK = 100_000
"""Numbers set aside for the terms of each language."""


def _keep(trie: Trie, pieces: tuple[str, ...], term: int) -> None:
    for piece in pieces:
        trie = trie.setdefault(piece, {})
    kept = trie.setdefault(_END, [])
    if term not in kept:
        kept.append(term)


def _stems_of(trie: Trie, into: set[str]) -> None:
    for key, node in trie.items():
        if key == _END:
            continue
        if len(key) > 1 and key[-1] == "*":
            into.add(key)
        _stems_of(node, into)


@cache
def _language(language: str) -> dict[str, Any]:
    data: dict[str, Any] = load_compiled(
        f"terms-{language}", _tables_of(language), lambda: _build_language(language)
    )
    first = LANGUAGES.index(language) * _BLOCK
    _LINES.update(enumerate(data["terms"], first))
    return data


_LINES: dict[int, str] = {}


def _merged(first: Trie, second: Trie) -> Trie:
    """Two tries as one; what only one of them holds is shared, not copied."""
    out = dict(first)
    for key, node in second.items():
        mine = out.get(key)
        if mine is None:
            out[key] = node
        elif key == _END:
            # The home language decides what a word is: in German "Start" is the take-off.
            own = _terms(first)
            roles = {t.role for t in own}
            out[key] = [*own, *(t for t in _terms(second) if t.role not in roles)]
        else:
            out[key] = _merged(mine, node)
    return out


@cache
def _term(number: int) -> Term:
    role, value, group, only = _LINES[number].split("\t")
    return Term(role, value, group, tuple(o for o in only.split("|") if o))


def _terms(node: Trie) -> tuple[Term, ...]:
    """What a leaf means; its numbers are looked up when it is first met."""
    leaf: Any = node[_END]
    if type(leaf) is list:
        leaf = node[_END] = tuple(_term(x) if type(x) is int else x for x in leaf)
    return leaf


_TIMES = word_set("times-after-half")
_NAMING = frozenset({"subject", "condition", "generic"})


class Lexicon:
    """The vocabulary of a set of languages."""

    def __init__(self, languages: tuple[str, ...]) -> None:
        self.languages = languages
        self._sources: tuple[dict[str, Any], ...] = tuple(
            _language(language)["roots"] for language in languages
        )
        self._nodes: dict[str, Trie] = {}
        self.units = unit_trie()
        self.denominators = denominator_trie()
        self._labels: dict[str, tuple[str, ...]] = {}
        self._roots: dict[str, tuple[Trie, ...]] = {}
        self._stems: set[str] = set()
        for language in languages:
            self._stems.update(_language(language)["stems"])
        self._stem_lengths = sorted(
            {len(stem) - 1 for stem in self._stems if len(stem) > 2}, reverse=True
        )
        self._compounds: dict[str, tuple[str, ...]] = {}
        self._insides: dict[tuple[Any, ...], list[tuple[int, tuple[Term, ...]]]] = {}
        self._shortened = languages[0] not in {"english", "japanese"}
        self._sorted: list[str] | None = None
        self._full: dict[str, tuple[Trie, ...]] = {}
        self.words = frozenset().union(*self._sources)

    def _node(self, word: str) -> Trie:
        """Where phrases of all the languages go on that begin with a word of `words`."""
        node = self._nodes.get(word)
        if node is None:
            for source in self._sources:
                other = source.get(word)
                if other is not None:
                    if type(other) is str:  # decoded for all lexicons of the language
                        other = source[word] = _decode(other, 0)[0]
                    node = other if node is None else _merged(node, other)
            assert node is not None
            self._nodes[word] = node
        return node

    def split(self, word: str) -> tuple[str, ...]:
        """Parts of a German compound that the tables have only by its parts; () if none."""
        if word in self.words or not word.isalpha():
            return ()
        if self.languages[0] == "russian":
            for half in _HALVES:
                if word.startswith(half) and word[len(half) :] in _TIMES:
                    return (half, word[len(half) :])  # "полчаса"
            return ()
        found = self._compounds.get(word)
        if found is None:
            if len(self._compounds) > 100_000:
                self._compounds.clear()
            found = self._compounds[word] = self._parts(word, 3)
        return found

    def _parts(self, word: str, depth: int) -> tuple[str, ...]:
        n = len(word)
        for end in range(n - 4, 3, -1):
            head = word[:end]
            if head not in self.words:
                continue
            tail = word[end:]
            if tail in self.words:
                return (head, tail)
            if depth > 1 and (rest := self._parts(tail, depth - 1)):
                return (head, *rest)
        if word[:2] in _OILS and word[2:] in self.words:
            return (word[:2], word[2:])
        for end in range(n - 3, 6, -1):
            if word[:end] in self.words:
                return (word[:end], word[end:])
        for begin in range(3, n - 6):
            if word[begin:] in self.words:
                return (word[:begin], word[begin:])
        return ()

    def _labels_of(self, norm: str) -> tuple[str, ...]:
        labels = self._labels.get(norm)
        if labels is None:
            stems = self._stems
            found = [norm]
            for k in self._stem_lengths:
                if k <= len(norm) and (stem := norm[:k] + "*") in stems:
                    found.append(stem)
            labels = tuple(found)
            if len(self._labels) > 200_000:
                self._labels.clear()
            self._labels[norm] = labels
        return labels

    def _roots_of(self, norm: str) -> tuple[Trie, ...]:
        """Where phrases that begin with a word go on."""
        words = self.words
        if self._stems:
            roots = tuple([self._node(label) for label in self._labels_of(norm) if label in words])
        else:
            roots = (self._node(norm),) if norm in words else ()
        if len(self._roots) > 200_000:
            self._roots.clear()
        self._roots[norm] = roots
        return roots

    def _in_full(self, norm: str) -> tuple[Trie, ...]:
        """The word that a shortened one stands for: "Kraftst." is the Kraftstoff."""
        found = self._full.get(norm)
        if found is None:
            if len(self._full) > 100_000:
                self._full.clear()
            found = self._full[norm] = self._written_out(norm)
        return found

    def _written_out(self, norm: str) -> tuple[Trie, ...]:
        if self._sorted is None:
            # each table is in order already, so that sorting has little to do
            self._sorted = sorted([w for source in self._sources for w in source if len(w) > 5])
        words = self._sorted
        at = bisect_left(words, norm)
        fit = []
        while at < len(words) and words[at].startswith(norm):
            if len(words[at]) >= len(norm) + 2 and words[at].isalpha():
                fit.append(words[at])
            at += 1
        for word in sorted(fit, key=len):
            node = self._node(word)
            if _END in node and any(t.role in _NAMING for t in _terms(node)):
                return (node,)
        return ()

    def find_terms(self, tokens: Tokens) -> list[Mention]:
        """Every phrase of the vocabulary in `tokens`, longest first, in order."""
        norms, gaps = tokens.norm, tokens.gap
        labels_of, roots_of = self._labels_of, self._roots_of
        cache, known = self._labels, self._roots
        shortened, stems = self._shortened, self._stems
        found: list[Mention] = []
        n = len(norms)
        past = 0
        for i, norm in enumerate(norms):
            if i < past:
                continue
            roots = known.get(norm)
            if roots is None:
                roots = roots_of(norm)
            if not roots:
                if not shortened or len(norm) < 4 or norms[i + 1 : i + 2] != ["."] or gaps[i + 1]:
                    continue
                roots = self._in_full(norm)
            best = 0
            what: tuple[Term, ...] = ()
            for node in roots:
                j = i + 1
                while True:
                    if _END in node and j > best:
                        best, what = j, _terms(node)
                    if j >= n:
                        break
                    word = norms[j]
                    if word == "." and gaps[j] == 0 and j + 1 < n:
                        after = norms[j + 1]
                        if "." not in node or (after in node and after not in node["."]):
                            j += 1
                            word = after
                    if gaps[j] > 3:
                        break
                    if gaps[j] == 2 and tokens.start[j] - tokens.end[j - 1] >= APART:
                        break  # a phrase does not go on in another column
                    step = node.get(word)
                    if step is None:
                        if not stems:
                            break
                        labels = cache.get(word) or labels_of(word)
                        for other in labels[1:]:
                            step = node.get(other)
                            if step is not None:
                                break
                        if step is None:
                            break
                    node = step
                    j += 1
            if best:
                found.append(Mention(i, best, what))
                if best > i + 1:
                    self._inside(tokens, i, best, what, found)
                past = best
        return found

    def _inside(
        self, tokens: Tokens, i: int, end: int, outer: tuple[Term, ...], found: list[Mention]
    ) -> None:
        """Add what the words of a longer phrase say by themselves: "climbing speed" is a
        speed, and in the climb; "max. cruise" is a rating, and a maximum."""
        key = (id(outer), *tokens.norm[i:end])  # a leaf's terms live as long as the lexicon
        inside = self._insides.get(key)
        if inside is None:
            if len(self._insides) > 100_000:
                self._insides.clear()
            inside = self._insides[key] = self._said_inside(tokens.norm[i:end], outer)
        for k, inner in inside:
            found.append(Mention(i + k, i + k + 1, inner))

    def _said_inside(
        self, words: list[str], outer: tuple[Term, ...]
    ) -> list[tuple[int, tuple[Term, ...]]]:
        """What single words of a phrase mean besides, by their place in it."""
        found: list[tuple[int, tuple[Term, ...]]] = []
        allowed = _INNER.get(outer[0].role)
        if allowed is None:
            return found
        if self.languages[0] != "english" or any(term.group == "wheel" for term in outer):
            # there a condition is often the name of a part as well: "Fahrwerksfederbein"
            allowed = allowed | {"subject"}
        roles = {term.role for term in outer}
        for k, word in enumerate(words):
            for label in self._labels_of(word):
                if label not in self.words or _END not in (node := self._node(label)):
                    continue
                inner = tuple(
                    t._replace(group="inner") if t.role == "bound" else t
                    for t in _terms(node)
                    if t.role in allowed
                    and t.role not in roles
                    and not (t.role == "bound" and outer[0].value in _NO_BOUND)
                )
                if inner:
                    found.append((k, inner))
                break
        return found


APART = 3
"""Blanks that the words of one unit are at most apart."""


def walk(
    trie: Trie, tokens: Tokens, i: int, *, hyphens: bool = True, stop: int | None = None
) -> Match | None:
    """Longest phrase of `trie` that begins at token `i`; stops and inner hyphens are skipped."""
    norms, gaps = tokens.norm, tokens.gap
    n = tokens.n if stop is None else stop
    node = trie
    end = 0
    leaf: Any = None
    j = i
    while j < n:
        word = norms[j]
        step = node.get(word)
        if step is None:
            # "lb./sq. in.", "ft.-lb.", "sq, in": marks inside a unit say nothing
            if j > i and word in _SILENT and gaps[j] == 0 and (hyphens or word != "-"):
                j += 1
                continue
            break
        if gaps[j] == 2 and j > i and tokens.start[j] - tokens.end[j - 1] > APART:
            break  # in another column
        node = step
        j += 1
        if _END in node:
            end, leaf = j, node
    if leaf is None:
        return None
    if end < n and norms[end] == "." and gaps[end] == 0:
        end += 1
    return Match(end, _senses(leaf))


_SILENT = frozenset({".", ",", "-"})


def _senses(node: Trie) -> tuple[Any, ...]:
    """What a leaf of the unit or number tries means; rows are read when first met."""
    leaf = node[_END]
    if type(leaf) is list:
        leaf = node[_END] = tuple(_sense(*x) if type(x) is list else x for x in leaf)
    return leaf


_UNIT_TABLES = ("notation/units", "notation/denominators")


def _build_units() -> dict[str, Any]:
    units: Trie = {}
    for row in load_rows("notation/units"):
        sense = [
            row["unit"], row["kind"], row["form"], row["traditions"], row["place"],
            int(row["rank"]),
        ]  # fmt: skip
        for form in row["forms"].split("|"):
            _add(units, form, sense)
    denominators: Trie = {}
    for row in load_rows("notation/denominators"):
        for form in row["forms"].split("|"):
            _add(denominators, form, row["slug"])
    return {"roots": units, "denominators": denominators}


@cache
def _unit_tries() -> dict[str, Trie]:
    tries: dict[str, Trie] = load_compiled("units", _UNIT_TABLES, _build_units)
    return tries


class _Roots(dict[str, Any]):
    """A trie whose branches are decoded when they are first met."""

    def get(self, word: str, default: Any = None) -> Any:
        node = dict.get(self, word, default)
        if type(node) is str:
            node = self[word] = _decode(node, 0)[0]
        return node


@cache
def unit_trie() -> Trie:
    """Written forms of units."""
    return _Roots(_unit_tries()["roots"])


@cache
def denominator_trie() -> Trie:
    """What may follow "per"."""
    return _unit_tries()["denominators"]


@cache
def _sense(unit: str, kind: str, form: str, traditions: str, place: str, rank: int) -> Sense:
    return Sense(unit, kind, form, frozenset(traditions.split()), place, rank)


def senses_of(node: Trie) -> tuple[Sense, ...]:
    """Senses of the unit whose written form ends at `node`; none where no form ends there."""
    return _senses(node) if _END in node else ()


@cache
def compositions() -> dict[tuple[str, str], tuple[str, str]]:
    """(numerator, denominators) to (unit, kind)."""
    return {
        (row["numerator"], row["denominators"]): (row["unit"], row["kind"])
        for row in load_rows("notation/compositions")
    }


@cache
def unit_words() -> frozenset[str]:
    """Words that can stand glued to a number because a unit begins with them."""
    return frozenset(w for w in unit_trie() if w[0].isalpha())


@cache
def lexicon(languages: tuple[str, ...]) -> Lexicon:
    """The vocabulary of `languages`, compiled once."""
    return Lexicon(languages)


PLANS: dict[str, tuple[tuple[str, ...], Callable[[], Any]]] = {
    "units": (_UNIT_TABLES, _build_units),
    **{f"terms-{name}": (_tables_of(name), partial(_build_language, name)) for name in LANGUAGES},
}
"""What `reconcile.notation.compiled` compiles: tables, and how."""
_HALVES = word_set("halves-joined")
_OILS = word_set("oils-joined")
