"""Finds every number in a text, with the range, tolerance, fraction or compound it is part of."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from reconcile.notation.lexicon import Mention
from reconcile.notation.misprints import read_misprinted_unit
from reconcile.notation.numerals import (
    VULGAR,
    Numeral,
    read_blurred,
    read_blurred_kanji,
    read_numeral,
)
from reconcile.notation.spacing import figures_of, join_spaced
from reconcile.notation.spoken import number_words, read_spoken
from reconcile.notation.tokens import BLUR, FRACTION, KANJI, NUMBER, SIGN, WORD, Tokens
from reconcile.notation.unitwords import (
    read_unit,
)
from reconcile.notation.wordsets import word_set

_SPLIT = re.compile(r"\d{1,2}[.,](?=\d{3}$)\d{3}")
_BIG = frozenset({"{rev}/min", "mm[Hg]"})
_SMALL = frozenset({"kgf/cm2", "att", "bar"})
_HALVES = frozenset({2, 3, 4, 8, 16, 32, 64})
RANGE_MARKS = frozenset({"-", "~", "÷", "...", "/", "//"})
COMPOUNDS = {
    ("[lton_av]", "[lcwt_av]"): Fraction(1, 20), ("[lcwt_av]", "[qr_av]"): Fraction(1, 4),
    ("[lcwt_av]", "[lb_av]"): Fraction(1, 112), ("[ft_i]", "[in_i]"): Fraction(1, 12),
    ("min", "s"): Fraction(1, 60), ("h", "min"): Fraction(1, 60),
    ("[gal_br]", "[pt_br]"): Fraction(1, 8),
    ("[gal_us]", "[qt_us]"): Fraction(1, 4), ("[gal_us]", "[pt_us]"): Fraction(1, 8),
    ("[gal_br]", "[qt_br]"): Fraction(1, 4), ("[lb_av]", "[oz_av]"): Fraction(1, 16),
    ("[lton_av]", "[lb_av]"): Fraction(1, 2240), ("[ston_av]", "[lb_av]"): Fraction(1, 2000),
    ("h", "s"): Fraction(1, 3600), ("[yd_i]", "[ft_i]"): Fraction(1, 3),
    ("kg", "g"): Fraction(1, 1000), ("[qr_av]", "[lb_av]"): Fraction(1, 28),
    ("[stone_av]", "[lb_av]"): Fraction(1, 14), ("[ston_av]", "[scwt_av]"): Fraction(1, 20),
    ("[scwt_av]", "[lb_av]"): Fraction(1, 100), ("[lton_av]", "[qr_av]"): Fraction(1, 80),
    ("[qt_br]", "[pt_br]"): Fraction(1, 2), ("[qt_us]", "[pt_us]"): Fraction(1, 2),
    ("[pt_br]", "[foz_br]"): Fraction(1, 20), ("[lcwt_av]", "[stone_av]"): Fraction(1, 8),
    ("t", "kg"): Fraction(1, 1000), ("d", "h"): Fraction(1, 24), ("h", "m"): Fraction(1, 60),
    ("km", "m"): Fraction(1, 1000),
    ("[mi_i]", "[yd_i]"): Fraction(1, 1760),
}  # fmt: skip


class Number(NamedTuple):
    """One number, ending before token `end`."""

    end: int
    numeral: Numeral
    spoken: bool = False
    heard: bool = False
    words: bool = False


class ValueReader:
    """Reads numbers out of one text's tokens.

    Parameters
    ----------
    tokens : Tokens
    mentions : dict of int to Mention
        Vocabulary phrases by the token they begin at.
    tradition : str
    continental : bool
        Comma for the decimal mark.
    languages : tuple of str
    speech : bool
        The text is someone talking.
    """

    def __init__(
        self,
        tokens: Tokens,
        mentions: dict[int, Mention],
        tradition: str,
        continental: bool,
        languages: tuple[str, ...],
        speech: bool,
    ) -> None:
        self.t = tokens
        self.mentions = mentions
        self.tradition = tradition
        self.continental = continental
        self.speech = speech
        self.word_trie, self.word_first = number_words(languages)
        self.unstopped: frozenset[str] | None = None
        self.in_litres: bool | None = None
        self.roles = {term[0] for found in mentions.values() for term in found[2]}
        """Roles that any phrase of the text has: most of them are rare."""
        self.signed_by_words = "plus" in self.roles or "minus" in self.roles

    # -- single numbers ----------------------------------------------------------------

    def number_at(self, i: int) -> Number | None:
        """The single number that begins at token `i`."""
        t = self.t
        if i >= t.n:
            return None
        kind = t.kind[i]
        if kind == NUMBER:
            after = i + 1
            if self.continental and after < t.n and t.gap[after] == 3:
                broken = self._over_line_end(i)
                if broken is not None:
                    return broken
            if after >= t.n or (
                t.norm[after] not in _GOES_ON
                and t.norm[after] != "["
                and t.norm[i][0] != ","
                and t.kind[after] in _ENDS
                and not (self.speech and t.norm[after] in _SCALES)
            ):
                numeral = read_numeral(t.norm[i], self.continental)
                return None if numeral is None else Number(after, numeral)
            if not self.continental and i + 1 < t.n and t.raw(i + 1) == "l":
                last = self._final_one(i)
                if last is not None:
                    return last
            return self._supplied(i) or self._pulled_apart(i) or self._printed(i)
        if kind == BLUR:
            whole = self._pulled_apart(i)
            if whole is not None:
                return whole
            pointed = (
                i > 0 and t.norm[i - 1] == "." and not t.gap[i] and (i < 2 or t.gap[i - 1] == 1)
                and not self.continental and not {".", ","} & set(t.norm[i])
            )  # fmt: skip
            numeral = read_blurred(("." if pointed else "") + t.norm[i], self.continental)
            if numeral is None:
                return None
            return self._with_fraction(i + 1, numeral) or Number(i + 1, numeral)
        if kind == FRACTION:
            value = VULGAR[t.norm[i]]
            return Number(i + 1, Numeral(value, Fraction(1, value.denominator)))
        if kind == KANJI:
            numeral = read_blurred_kanji(t.norm[i])
            return Number(i + 1, numeral) if numeral else None
        if kind == WORD and t.raw(i)[0] in "lIOSZBЗ" and (blurred := self._letters_only(i)):
            return blurred
        if kind == WORD and t.norm[i] in self.word_first:
            spoken = read_spoken(self.word_trie, t, i, speech=self.speech)
            if spoken is None and self.speech:
                spoken = read_spoken(self.word_trie, t, i, speech=True, lone=True)
                if spoken is not None and not (
                    self.sign_before(i)[0]
                    or (
                        t.norm[i] not in _NUMBERLIKE
                        and read_unit(t, spoken.end, self.tradition) is not None
                    )
                ):
                    spoken = None
            if spoken is not None:
                return Number(
                    spoken.end, Numeral(spoken.value, spoken.resolution), True, spoken.heard, True
                )
        if (
            kind == WORD
            and t.norm[i] in _ONE_OF
            and t.norm[i + 1 : i + 2] in _SPANS
            and i
            and t.norm[i - 1] in _LASTING
        ):
            return Number(i + 1, Numeral(Fraction(1), Fraction(1)), True, False, True)
        if kind == SIGN and t.norm[i] == "{" and i + 4 < t.n and t.norm[i + 2] == "/":
            whole = self._vulgar(i + 1)
            if whole is not None and t.norm[whole.end] == "}":
                return Number(whole.end + 1, whole.numeral)
        return None

    def _pulled_apart(self, i: int) -> Number | None:
        """A number with blanks among its figures."""
        joined = join_spaced(self.t, i)
        if joined is None:
            return None
        t = self.t
        if self.continental and t.norm[i + 1] == "," and t.gap[i + 2] and t.norm[i] != "0":
            return None  # a decimal comma has no blank behind it: "CV 860, 225 gr."
        if t.norm[joined.end - 1] == "0" and joined.end < t.n and not t.gap[joined.end]:
            return None  # "85 0C"
        if joined.needs_unit:
            if self._vulgar(joined.end - 1) is not None or (i and t.kind[i - 1] == NUMBER):
                return None
            found = self.mentions.get(i - 1)
            if found is not None and found.has("distractor"):
                return None
            unit = read_unit(t, joined.end, self.tradition) or read_misprinted_unit(
                t, joined.end, self.tradition, None, speech=False
            )
            if unit is None:
                return None
            if t.norm[joined.end - 1] == "0" and unit.senses[0].kind == "temperature":
                return None  # the 0 may be the degree mark
            if i and t.norm[i - 1] in {"+", "-"} and unit.senses[0].kind == "time":
                return None  # "+8 3 MIN"
            if t.norm[i + 1] == "." and not t.gap[i + 1] and unit.senses[0].kind in _MAY_OPEN:
                return None  # "hold 75. 5 minutes later"
        numeral = read_numeral(joined.raw, self.continental and not joined.sure)
        if numeral is None:
            return None
        printed = t.text[t.start[i] : t.end[joined.end - 1]]
        return Number(
            joined.end,
            replace(numeral, repair=f"blanks in {printed!r} closed up", doubtful=not joined.sure),
        )

    def _final_one(self, i: int) -> Number | None:
        """``8l kts``: an l printed close after figures, before a unit, is a 1, and no litre."""
        t = self.t
        if t.gap[i + 1] or not t.norm[i].isdigit():
            return None
        if self.in_litres is None:
            self.in_litres = not _LITRES.isdisjoint(t.norm)
        if self.in_litres:
            return None
        numeral = read_blurred(t.norm[i] + "l", False)
        return None if numeral is None else Number(i + 2, replace(numeral, doubtful=False))

    def _letters_only(self, i: int) -> Number | None:
        """``lOO``: a number of which no figure was read as one."""
        t = self.t
        raw = t.raw(i)
        if raw in {"l", "ll", "lI"} and i + 1 < t.n and t.norm[i + 1] == ",":
            return self._pulled_apart(i)
        if raw in _FRACTION_LETTERS and raw not in "iz" and (self.continental or raw in "SlZ"):
            return self._lone_letter(i, raw)
        if len(raw) < 2 or not set(raw) <= _LETTER_FIGURES:
            return None
        if i + 1 < t.n and t.kind[i + 1] == FRACTION and not t.gap[i + 1] and set(raw) <= _ONES:
            whole = read_blurred(raw, self.continental)  # "ll½ galls"
            return None if whole is None else self._with_fraction(i + 1, whole)
        if "O" not in raw and ("l" not in raw or (raw.isalpha() and raw.islower())):
            return None
        numeral = read_blurred(raw, self.continental)
        if numeral is None:
            return None
        if ("l" not in raw or "O" not in raw) and read_unit(t, i + 1, self.tradition) is None:
            return None
        return Number(i + 1, replace(numeral, doubtful="l" not in raw))

    def _lone_letter(self, i: int, raw: str) -> Number | None:
        """``S ÷ 7 kg/cm²``, ``± l atü``, ``l½``: a letter that is all of a number."""
        t = self.t
        n = t.n
        after = i + 1
        if after >= n or t.gap[after] > 1:
            return None
        note = f"{raw!r} read as {_FRACTION_LETTERS[raw]}"
        numeral = Numeral(Fraction(_FRACTION_LETTERS[raw]), Fraction(1), repair=note, doubtful=True)
        if t.kind[after] == FRACTION and not t.gap[after]:
            part = VULGAR[t.norm[after]]
            mixed = Numeral(numeral.value + part, Fraction(1, part.denominator), repair=note)
            return Number(after + 1, mixed)
        if not self.continental:
            unit = read_unit(t, after, self.tradition)
            timed = unit is not None and unit.senses[0].kind == "time" and len(t.norm[after]) > 2
            return Number(after, numeral) if timed else None  # "TAKE-OFF (S mins.)"
        linked = t.norm[after] in _LINKS
        found = self.mentions.get(after)
        if found is not None and found.has("to"):
            linked, after = True, found.j - 1
        beyond = after + 1
        if beyond < n and t.norm[beyond] in {"-", "+"}:
            beyond += 1  # "–S bis –20°"
        if t.norm[after] == "'" and not t.gap[after]:
            linked = True  # "S' 30\""
        if linked and beyond < n and t.kind[beyond] in {NUMBER, BLUR} and t.gap[beyond] < 2:
            return Number(i + 1, numeral)
        unit = read_unit(t, i + 1, self.tradition)
        joined = i > 0 and t.norm[i - 1] in _LINKS and t.gap[i] < 2
        if unit is not None and (
            joined
            or unit.end - i > 2
            or len(t.norm[i + 1]) > 2
            or (len(t.norm[i + 1]) == 2 and unit.senses[0].kind == "time")
        ):
            return Number(i + 1, numeral)
        return None

    def _figure(self, i: int) -> str:
        t = self.t
        if t.kind[i] == NUMBER:
            return t.norm[i] if t.norm[i].isdigit() else ""
        if t.kind[i] == BLUR:
            return figures_of(t, i)
        raw = t.raw(i)
        if raw in _FRACTION_LETTERS:
            return _FRACTION_LETTERS[raw]
        return ""

    def _vulgar(self, i: int) -> Number | None:
        """``7/16`` at token `i`, printed close."""
        t = self.t
        if i + 2 >= t.n or t.norm[i + 1] != "/" or t.gap[i + 1] or t.gap[i + 2]:
            return None
        above, below = self._figure(i), self._figure(i + 2)
        if not above or not below or len(below) > 3:
            return None
        a, b = int(above), int(below)
        if (b in _HALVES and 0 < a < b) or (b in {10, 100} and 0 < a < b):
            plain = t.kind[i] == NUMBER and t.kind[i + 2] == NUMBER
            printed = t.text[t.start[i] : t.end[i + 2]]
            note = "" if plain else f"{printed!r} read as the fraction {a}/{b}"
            return Number(i + 3, Numeral(Fraction(a, b), Fraction(1, b), repair=note))
        return None

    def _run_on(self, i: int) -> Number | None:
        """``61/2``, ``12}``: a whole number and its fraction with no blank between, or the
        fraction in one sign that was taken for a brace."""
        t = self.t
        raw = t.norm[i]
        if i + 1 >= t.n or t.gap[i + 1] or not raw.isdigit():
            return None
        if t.norm[i + 1] == "}" and len(raw) < 4 and "{" not in t.norm[max(0, i - 4) : i]:
            note = f"{raw + '}'!r}: a fraction taken for a brace, read as a half"
            value = Fraction(int(raw)) + Fraction(1, 2)
            return Number(i + 2, Numeral(value, Fraction(1, 2), repair=note, doubtful=True))
        if t.norm[i + 1] != "/" or i + 2 >= t.n or t.gap[i + 2] or not 1 < len(raw) < 4:
            return None
        above, below = int(raw[-1]), self._figure(i + 2)
        if below not in {"2", "3", "4", "8"} or not 0 < above < int(below):
            return None
        if above > 1 and int(below) % above == 0:
            return None  # a fraction is printed in its lowest terms
        note = f"{raw}/{below} read as {raw[:-1]} and {above}/{below}"
        value = int(raw[:-1]) + Fraction(above, int(below))
        return Number(i + 3, Numeral(value, Fraction(1, int(below)), repair=note, doubtful=True))

    def _with_fraction(self, end: int, whole: Numeral) -> Number | None:
        """A whole number and the fraction after it, "37½", "8 1/4", "53-1/2"."""
        t = self.t
        if end >= t.n:
            return None
        if t.kind[end] == FRACTION and t.gap[end] <= 1 and whole.resolution == 1:
            return Number(end + 1, _mixed(whole, VULGAR[t.norm[end]]))
        at = end + 1 if t.norm[end] == "-" and t.gap[end] == 0 else end
        if at >= t.n or (t.gap[at] > 1 and at == end):
            return None
        closed = t.norm[at] == "{"
        if t.norm[at + closed + 1 : at + closed + 2] != ["/"]:
            return None
        if whole.resolution != 1 or whole.value >= 1000:
            return None
        part = self._vulgar(at + closed)
        if part is None or part.numeral.value.denominator not in _HALVES:
            return None
        mixed = _mixed(whole, part.numeral.value)
        if part.numeral.repair:
            mixed = replace(mixed, repair=part.numeral.repair)
        return Number(part.end + closed, mixed)

    def _printed(self, i: int) -> Number | None:
        t = self.t
        n = t.n
        fraction = self._vulgar(i) or self._run_on(i)
        if fraction is not None:
            return fraction
        numeral = read_numeral(t.norm[i], self.continental)
        if numeral is None:
            return None
        end = i + 1
        if self.continental and end < n and t.gap[end] == 1 and t.kind[end] == NUMBER:
            closed = self._spread(i)
            if closed is not None:
                return closed
        mixed = self._with_fraction(end, numeral)
        if mixed is not None:
            return mixed
        if end < n and numeral.resolution == 1:
            kind = t.kind[end]
            if self.speech and kind == WORD and t.norm[end] in _SCALES:
                scale = 100 if t.norm[end] == "hundred" else 1000
                value, stop, step = numeral.value * scale, end + 1, scale
                more = self.number_at(stop) if scale == 1000 else None
                if more is not None and more.numeral.value < 1000:
                    value, stop = value + more.numeral.value, more.end
                    step = int(more.numeral.resolution)
                return Number(stop, Numeral(value, Fraction(step)), True)
        return Number(end, numeral)

    def _over_line_end(self, i: int) -> Number | None:
        """``1 150 km`` broken after the thousands, in the middle of a sentence."""
        t = self.t
        first, rest = t.norm[i], t.norm[i + 1]
        if not (len(first) < 3 and first.isdigit() and first[0] != "0" and len(rest) == 3):
            return None
        if not rest.isdigit() or t.kind[i + 1] != NUMBER or i == 0 or t.kind[i - 1] != WORD:
            return None
        if t.gap[i] != 1 or t.end[i] + 1 != t.start[i + 1]:
            return None
        if read_unit(t, i + 2, self.tradition) is None:
            return None
        note = f"{first} {rest} broken over a line end"
        return Number(i + 2, Numeral(Fraction(int(first + rest)), Fraction(1), repair=note))

    def _supplied(self, i: int) -> Number | None:
        """``1.3[5]``: figures that an editor supplied in brackets."""
        t = self.t
        if i + 3 >= t.n or t.norm[i + 1] != "[" or t.norm[i + 3] != "]" or t.kind[i + 2] != NUMBER:
            return None
        if t.gap[i + 1] or t.gap[i + 2] or t.gap[i + 3] or not t.norm[i + 2].isdigit():
            return None
        numeral = read_numeral(t.norm[i] + t.norm[i + 2], self.continental)
        if numeral is None:
            return None
        note = f"figures {t.norm[i + 2]!r} supplied by the editor"
        return Number(i + 4, replace(numeral, repair=note, doubtful=True))

    def _spread(self, i: int) -> Number | None:
        """A number printed with blanks among its figures ("2 6 5 0 U/min", "1.9 00 giri")."""
        t = self.t
        n = t.n
        norm = t.norm
        end = i
        while end < n and t.kind[end] == NUMBER and (end == i or t.gap[end] == 1) and end < i + 6:
            end += 1
        parts = norm[i:end]
        unit = read_unit(t, end, self.tradition)
        if unit is None or len(parts) < 2:
            return None
        units = {s.unit for s in unit.senses if s.rank == 1}
        printed = t.text[t.start[i] : t.end[end - 1]]
        body = "".join(parts)
        spread = [p for p in parts if len(p) == 1 and p.isdigit()]
        doubtful = False
        if len(parts) > 2 and len(spread) == len(parts):
            value, step = Fraction(int(body)), Fraction(1)
        elif len(parts) == 2 and _SPLIT.fullmatch(body) and not parts[0].isdigit():
            value, step = Fraction(int(body.replace(".", "").replace(",", ""))), Fraction(1)
        elif (
            len(parts) == 2
            and body.isdigit()
            and units & _BIG
            and len(parts[0]) <= 2
            and 250 <= int(body) <= 4000
            and (int(parts[1]) < 200 or parts[1][0] == "0")
        ):
            value, step = Fraction(int(body)), Fraction(1)
        elif len(parts) == 2 and len(spread) == 2 and units & _SMALL:
            value, step, doubtful = Fraction(int(body), 10), Fraction(1, 10), True
        else:
            return None
        note = f"spaced figures {printed!r} closed up"
        return Number(end, Numeral(value, step, repair=note, doubtful=doubtful))

    # -- signs and links ---------------------------------------------------------------

    def sign_before(self, i: int) -> tuple[str, int]:
        """Sign of the number at token `i`, and the token where it begins."""
        t = self.t
        k = i - 1
        if k < 0 or t.gap[i] > 1:
            return "", i
        mark = t.norm[k]
        if t.kind[k] == SIGN:
            if mark == "+":
                return "+", k
            if mark == "-":
                if k == 0 or t.gap[k] >= 2:
                    return "-", k
                before = t.norm[k - 1]
                if t.gap[k] >= 1 and (t.gap[i] == 0 or before in _BEFORE_MINUS):
                    return "-", k
                if before in "(:;,/=" or before == "...":
                    return "-", k
                if t.gap[k] == 1 and self._led_in(k):
                    return "-", k  # "par moins de – 5°"
            if mark == "ー":
                return "-", k
        elif self.signed_by_words and t.kind[k] == WORD:
            for back in (1, 2, 3, 4):
                found = self.mentions.get(i - back)
                if found is not None and found.j == i:
                    if found.has("plus"):
                        return "+", i - back
                    if found.has("minus"):
                        return "-", i - back
        return "", i

    def _led_in(self, k: int) -> bool:
        """Whether a word before the dash at token `k` leads straight on to a number."""
        for back in (1, 2, 3, 4):
            found = self.mentions.get(k - back)
            if found is not None and found.j == k:
                return any(
                    term.role in {"approx", "between", "to"}
                    or (term.role == "bound" and term.group == "pre")
                    for term in found.terms
                )
        return False

    def signed_at(self, i: int) -> tuple[str, Number] | None:
        """A number with its own sign, as the second member of a range or tolerance."""
        t = self.t
        n = t.n
        if i >= n:
            return None
        if t.norm[i] in {"+", "-"} and t.kind[i] == SIGN:
            number = self.number_at(i + 1)
            return None if number is None else (t.norm[i], number)
        found = self.mentions.get(i)
        if found is not None and (found.has("plus") or found.has("minus")):
            number = self.number_at(found.j)
            if number is None:
                return None
            return ("+" if found.has("plus") else "-"), number
        number = self.number_at(i)
        return None if number is None else ("", number)


_MAY_OPEN = frozenset({"time", "volume", "mass", "ratio"})
"""Kinds that a sentence may well begin with a small number of."""
_ONES = frozenset("lI")
_ONE_OF = word_set("one-of-time")
_SPANS = tuple(words.split() for words in word_set("times-of-one"))
_LASTING = word_set("before-a-lasting-hour")
"""What "an hour" is a time after, and no rate: "for an hour", "not more than an hour"."""
_LITRES = word_set("words-of-litres")
_ENDS = frozenset({WORD, SIGN})
_GOES_ON = frozenset({",", ".", "/", "-", "{", "}", "l", "i", "ll"})
_SCALES = word_set("spoken-scales")
_BEFORE_MINUS = word_set("before-minus")
_LETTER_FIGURES = frozenset("lIOSZBQ")
_LINKS = frozenset({"-", "÷", "~", "...", "±"})
_FRACTION_LETTERS = {"l": "1", "I": "1", "i": "1", "Z": "2", "z": "2", "S": "5", "B": "8", "З": "3"}


def _mixed(whole: Numeral, part: Fraction) -> Numeral:
    return Numeral(
        whole.value + part, Fraction(1, part.denominator), repair=whole.repair,
        doubtful=whole.doubtful,
    )  # fmt: skip


_NUMBERLIKE = word_set("words-like-numbers")
