"""Cuts a text into words, numbers and signs, in one pass of one compiled pattern.

A token is four parallel list entries (kind, normalised form, start, end) rather than an
object: a page has thousands of them and most are looked at once. ``gap`` says what stood
before the token: 0 nothing, 1 one blank, 2 more blanks, 3 a line end, 4 an empty line.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from functools import cache, lru_cache

from reconcile.notation.wordsets import word_meanings, word_set

WORD, NUMBER, SIGN, CODE, FRACTION, KANJI, BLUR = 1, 2, 3, 4, 5, 6, 7
"""Kinds of token. CODE is a serial or part number, BLUR a number with letters among its
digits that could be misread digits, KANJI a number in Chinese numerals."""

LETTERS = "A-Za-zªÀ-ÖØ-öø-ʯͰ-ϿЀ-ӿ"
_CJK = "\u3005\u3040-\u30ff\u3400-\u9fff\uff66-\uff9f"
_KANJI = "〇一二三四五六七八九十百千零"
_ROUND = _KANJI + "Oo"
FRACTIONS = "¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"

_NUMBER = (
    rf"(?>\d+(?:[.,·'’:]\d+)*)(?![{LETTERS}\d]|[.,][{LETTERS}]|['’][lISBZO]\d)"
    rf"|(?<![{LETTERS}\d])[.,·](?>\d+)(?![\dlIOoSZBОоЗ])"
)
_SPACED = rf"\d{{1,2}}(?:[ \u00a0\u2009\u202f]\d{{3}})+(?![{LETTERS}\d]|[.,'’]\d)|"
_BEYOND = (
    rf"|([{_KANJI}]{{1,2}}(?:[、,][{_ROUND}]{{3}})+(?:[・.][{_KANJI}]+)?(?![{_KANJI}])"
    rf"|[十一](?=\d|[lIO][\dOol])|[{_KANJI}]+(?:[Oo]+(?![A-Za-z])[{_ROUND}]*)?(?:[・.][{_KANJI}]+)?)"
    rf"|([{_CJK}])"
    rf"|([{FRACTIONS}])"
)
_REST = (
    rf"|([{LETTERS}]*\d[{LETTERS}\d]*(?:[.,·'’:][{LETTERS}\d]+)*[²³]?"
    rf"|[lIiOoSZBОоЗ|][.,][\dOoОоlISЗ][\dOoОоlISЗ]*(?![{LETTERS}])"
    rf"|(?<![{LETTERS}\d.,'])[ЗбБOО](?=[ ]?[-–—÷][ ]?\d|[ ](?:кг|ат|мм|мин|сек|°)))"
    rf"|([{LETTERS}](?:\.[{LETTERS}])+(?![{LETTERS}]))"
    rf"|([{LETTERS}]+[²³]?(?![{LETTERS}\d]))"
    rf"{_BEYOND}"
    r"|(\.{2,}|…+|_{2,}|''|,,|\+/-|_\+|\+_|-:-+:?-|\S)"
)
# Most tokens are words of two letters or more: they are tried first, in no group.
_WORD = rf"[{LETTERS}]{{2,}}(?![{LETTERS}\d²³])|"
_TOKEN = rf"{_WORD}({_NUMBER})" + _REST
# On the Continent a blank divides thousands; elsewhere two numbers may stand side by side.
_SPACED_BLUR = (
    rf"(?<![{LETTERS}\d.,'])[lISBZ](?:[ ](?:\d[\dlISBZO]{{2}}|[lISBZO]\d[\dlISBZO]))+"
    rf"(?![{LETTERS}\d])"
)
# "2 65O": figures misread behind the blank that divides the thousands
_MISREAD_LAST = (
    rf"\d{{1,2}}[ ](?:\d\d[lISBZOО]|\d[lISBZOО][\dlISBZOО]|[lISBZOО]\d[\dlISBZOО])(?![{LETTERS}\d])"
)
_TOKEN_SPACED = rf"{_WORD}((?!{_MISREAD_LAST})(?:{_SPACED}{_NUMBER}))" + _REST.replace(
    "|(", f"|({_SPACED_BLUR}|{_MISREAD_LAST}|", 1
)


def _cutter(spaced: bool, ascii_only: bool) -> re.Pattern[str]:
    """The pattern that cuts texts; those of ASCII alone are cut sooner without other letters."""
    pattern = _TOKEN_SPACED if spaced else _TOKEN
    if ascii_only:
        pattern = pattern.replace(LETTERS, "A-Za-z")
        for beyond in (_BEYOND, "|…+", "|[ ](?:кг|ат|мм|мин|сек|°)", "[²³]?"):
            pattern = pattern.replace(beyond, "|((?!))|((?!))|((?!))" if beyond == _BEYOND else "")
        pattern = "".join(c for c in pattern if c.isascii())
    return re.compile(pattern)


_BOTH = (False, True)
_CUTTERS = {(spaced, plain): _cutter(spaced, plain) for spaced in _BOTH for plain in _BOTH}

_SIGNS = {
    "–": "-", "—": "-", "‐": "-", "‑": "-", "−": "-", "‒": "-", "―": "-", "－": "-", "ー": "-",
    "〜": "~", "～": "~", "∼": "~", "∿": "~",
    "…": "...", "″": '"', "“": '"', "”": '"', "''": '"', "„": '"', "＂": '"', "«": "«",
    "′": "'", "’": "'", "‘": "'", "´": "'", "`": "'", "º": "°", "˚": "°", "゜": "°", "ﾟ": "°",
    "×": "×", "✕": "×", "⨯": "×", "＋": "+", "（": "(", "）": ")", "，": ",", "、": ",", "。": ".",
    "：": ":", "；": ";", "／": "/", "％": "%", "＃": "#", "．": ".", "？": "?", "！": "!",
    "±": "±", "+/-": "±", "_+": "±", "+_": "±", "∓": "±", "∶": ":", "＝": "=", "⁄": "/",
    "∕": "/", "□": "□", "◻": "□",
    "▢": "□", "⬜": "□", "·": "·", "•": "·", "℃": "℃", "＊": "*",
}  # fmt: skip

_WIDE = {c: c - 0xFEE0 for c in range(0xFF01, 0xFF5F)} | {
    0x3000: " ",
    ord("○"): "〇",
    ord("◯"): "〇",
}
"""Full-width characters and what they are printed for; one for one, so offsets hold."""
_EASTERN = re.compile("[○◯\u3000-\uffff]")
"""Any of the signs that `_WIDE` and `OLD_KANJI` change is among these."""

OLD_KANJI = str.maketrans(
    "壓氣發數單瓣總變繼續應豫裝當轉輕戰鬪經濟檢驗圖釋兩橫黑卷淨圓澁齒驛廳藝壹貳參畫區號豐稱觀關勞學寫實廣"
    "廢彈從惡擔據擴攝擇效啓晝歸殘澤爐狀獨獻疊癡眞穩竊粹絲縣縱聲聽臺舊號處裏覺譯譽讀證變贊輸迴逹遞遲邊醫釀釜錄鐵險隨隱雙靜顯餘髮點體",
    "圧気発数単弁総変継続応予装当転軽戦闘経済検験図釈両横黒巻浄円渋歯駅庁芸壱弐参画区号豊称観関労学写実広"
    "廃弾従悪担拠拡摂択効啓昼帰残沢炉状独献畳痴真穏窃粋糸県縦声聴台旧号処裏覚訳誉読証変賛輸回達逓遅辺医醸釜録鉄険随隠双静顕余髪点体",
)
"""Chinese signs as they were printed until 1946, and as they are now."""

_POWERS = {"²": "2", "³": "3"}
_FOLD = str.maketrans({"ё": "е", "²": "2", "³": "3", "ſ": "s"})


class Tokens:
    """The tokens of one text, as parallel lists.

    Attributes
    ----------
    kind, norm, start, end, gap : list, one entry a token
    """

    __slots__ = ("end", "gap", "kind", "n", "norm", "start", "text")

    def __init__(self, text: str) -> None:
        self.text = text
        self.kind: list[int] = []
        self.norm: list[str] = []
        self.start: list[int] = []
        self.end: list[int] = []
        self.gap: list[int] = []
        self.n = 0

    def __len__(self) -> int:
        return len(self.kind)

    def raw(self, i: int) -> str:
        """Token `i` as it stands in the text."""
        return self.text[self.start[i] : self.end[i]]


@lru_cache(maxsize=65536)
def fold_word(raw: str) -> str:
    """The form a word is looked up by: small letters, no stops, plain signs."""
    return raw.lower().translate(_FOLD).replace(".", "").replace("’", "'")


@lru_cache(maxsize=16384)
def _plain_number(raw: str) -> str:
    if raw.isascii():
        return raw
    return "".join(c if c == "·" else unicodedata.normalize("NFKC", c) for c in raw)


def read_tokens(
    text: str,
    unit_words: frozenset[str] = frozenset(),
    *,
    spaced: bool = False,
    known: frozenset[str] = frozenset(),
    split: Callable[[str], tuple[str, ...]] | None = None,
) -> Tokens:
    """Cut `text` into tokens.

    Parameters
    ----------
    text : str
    unit_words : frozenset of str
        Folded words that may stand glued to a number ("12lb", "670PSI").
    spaced : bool
        A blank may divide thousands ("1 020").
    known : frozenset of str
        Folded words of the vocabulary, which show where a word and a number run together.
    split : callable, optional
        Takes a folded word and gives its parts, for languages that write compounds as one.

    Returns
    -------
    tokens : Tokens
    """
    if not text.isascii() and _EASTERN.search(text):
        text = text.translate(_WIDE).translate(OLD_KANJI)
    tokens = Tokens(text)
    kinds, norms = tokens.kind, tokens.norm
    starts, ends, gaps = tokens.start, tokens.end, tokens.gap
    signs, fold = _SIGNS, fold_word
    add_kind, add_norm = kinds.append, norms.append
    add_start, add_end, add_gap = starts.append, ends.append, gaps.append
    previous = 0
    for match in _CUTTERS[spaced, text.isascii()].finditer(text):
        group = match.lastindex
        start, end = match.span()
        if start == previous + 1:
            gap = 3 if text[previous] == "\n" else 1
        elif start == previous:
            gap = 0 if start else 3
        else:
            lines = text.count("\n", previous, start)
            gap = 2 if not lines else 3 if lines == 1 else 4
        previous = end
        if group is None or group == 4:
            norm = fold(text[start:end])
            if split is not None and len(norm) > 6 and len(parts := split(norm)) > 1:
                for part in parts:
                    kinds.append(WORD)
                    norms.append(part)
                    starts.append(start)
                    start += len(part)
                    ends.append(start)
                    gaps.append(gap)
                    gap = 0
                continue
            if gap < 2 and len(norm) > 5 and kinds and kinds[-1] == NUMBER and norm not in known:
                cut = _glued_unit(norm, unit_words, known)
                if cut:  # "15,000 lbsalternate"
                    add_kind(WORD)
                    add_norm(norm[:cut])
                    add_start(start)
                    start += cut
                    add_end(start)
                    add_gap(gap)
                    norm, gap = norm[cut:], 0
            add_kind(WORD)
            add_norm(norm)
        elif group == 8:
            raw = text[start:end]
            if raw in _POWERS and not gap and norms[-1:] == ["."] and kinds[-2:-1] == [WORD]:
                # "lb./in.²": the stop of the word stands before its power
                norms[-2] += _POWERS[raw]
                ends[-1] = end
                continue
            add_kind(SIGN)
            if end - start == 1:
                add_norm(signs.get(raw, raw))
            else:
                add_norm(signs.get(raw, "..." if raw[0] in ".…" else raw))
        elif group == 1:
            add_kind(NUMBER)
            add_norm(_plain_number(text[start:end]))
        elif group == 2 and " " in text[start:end]:
            kinds.append(BLUR)  # "l 240"
            norms.append(text[start:end].replace(" ", ""))
        elif group == 2:
            offset = start
            for kind, norm, length in _split_cluster(text[start:end], unit_words, known):
                kinds.append(kind)
                norms.append(norm)
                starts.append(offset)
                offset += length
                ends.append(offset)
                gaps.append(gap)
                gap = 0
            continue
        elif group == 3:
            kinds.append(WORD)
            raw = text[start:end]
            norms.append("takeoff" if raw == "T.O" else fold(raw))
        elif group == 5:
            norm = text[start:end]
            if norm in "十一" and end < len(text) and text[end] in "0123456789lIO":
                # a plus or minus printed like the numeral
                kinds.append(SIGN)
                norms.append("+" if norm == "十" else "-")
            else:
                kinds.append(KANJI)
                norms.append(norm)
        elif group == 6:
            raw = text[start:end]
            kinds.append(SIGN if raw == "ー" and gap else WORD)
            norms.append(raw)
        else:
            kinds.append(FRACTION)
            norms.append(text[start:end])
        add_start(start)
        add_end(end)
        add_gap(gap)
    tokens.n = len(kinds)
    return tokens


def _glued_unit(word: str, unit_words: frozenset[str], known: frozenset[str]) -> int:
    """Where a word that follows a number is a unit and another word set close; 0 if not so."""
    for cut in range(len(word) - 3, 1, -1):
        if word[:cut] in unit_words and (
            word[cut:] in known or (word[:cut] in _PLAIN_UNITS and cut + 5 <= len(word))
        ):
            return cut
    return 0


_PLAIN_UNITS = word_set("units-run-on")

MISREAD = {
    "O": "0", "o": "0", "О": "0", "о": "0", "Q": "0", "D": "0", "U": "0", "u": "0", "°": "0",
    "l": "1", "I": "1", "i": "1", "|": "1", "ı": "1", "L": "1", "í": "1", "J": "1",
    "S": "5", "s": "5", "Z": "2", "z": "2", "B": "8", "З": "3", "з": "3", "G": "6", "b": "6",
    "g": "9", "q": "9", "A": "4", "Б": "6", "б": "6", "В": "8", "Ч": "4", "ч": "4", "T": "7",
    "t": "1", "r": "1", "x": "1", "E": "6", "Э": "3",
}  # fmt: skip
"""Letters that scanning puts for digits."""

SURE = frozenset("OoОоlIi|SsZBЗзzQ")
"""Those of them met so often that the reading is hardly in doubt."""

_PIECE = rf"\d+(?:[.,·'’:]\d+)*|[{LETTERS}]+[²³]?|."
_PIECE_ASCII = r"\d+(?:[.,':]\d+)*|[A-Za-z]+|."


@cache
def _pieces(ascii_only: bool) -> re.Pattern[str]:
    return re.compile(_PIECE_ASCII if ascii_only else _PIECE, re.S)


_NUMERIC = re.compile(r"\d+(?:[.,·'’:]\d+)*")


_MISPRINTED_WORDS = word_meanings("misprinted-words")


_POWER = re.compile(r"(?:ins?|ft|yd|[cdm]m|см|мм)[23]")
"""Squares and cubes typed without a raised figure: "lb/in2", "kg/cm2"."""


@lru_cache(maxsize=16384)
def _split_cluster(
    raw: str, unit_words: frozenset[str], known: frozenset[str] = frozenset()
) -> tuple[tuple[int, str, int], ...]:
    """Letters and digits run together: unit after a number, misread number, or code."""
    whole = fold_word(raw)
    if whole in unit_words:
        return ((WORD, whole, len(raw)),)
    if whole in _MISPRINTED_WORDS and raw != "1B":
        return ((WORD, _MISPRINTED_WORDS[whole], len(raw)),)
    if (
        known
        and len(raw) > 2
        and (
            word := _word_with_figures(whole, known)
            or (len(raw) > 3 and _word_with_figures(whole, unit_words))
        )
    ):
        return ((WORD, word, len(raw)),)
    if _POWER.fullmatch(whole):
        return ((WORD, whole, len(raw)),)
    if raw[0] in "xXхХ" and raw[1:] in {"10", "100", "1000"}:
        return ((SIGN, "×", 1), (NUMBER, raw[1:], len(raw) - 1))
    pieces = _pieces(raw.isascii()).findall(raw)
    first = pieces[0]
    if first[0].isdigit() and len(pieces) > 1:
        rest = raw[len(first) :]
        lead = rest.lstrip(".,")
        if fold_word(lead) in unit_words and not (lead in "OoIlSsB" and lead != "l"):
            stops = len(rest) - len(lead)
            parts = [(NUMBER, _plain_number(first), len(first))]
            parts += [(SIGN, mark, 1) for mark in rest[:stops]]
            return (*parts, (WORD, fold_word(lead), len(lead)))
        head, stop, word = lead.partition(".")
        if (
            stop
            and word.isalpha()
            and len(word) > 1
            and len(head) > 1
            and (fold_word(head) in unit_words)
        ):
            return _as_pieces(pieces)  # "145galls.in the tank"
        # "165oF": the degree mark read as a letter
        if rest[0] in "oO" and rest[1:] in {"F", "C", "С"}:
            return (
                (NUMBER, _plain_number(first), len(first)),
                (SIGN, "°", 1),
                (WORD, fold_word(rest[1:]), 1),
            )
    blurred = raw
    tail: tuple[tuple[int, str, int], ...] = ()
    if raw[-1] in "CFС" and len(raw) > 2 and (raw[-2].isdigit() or raw[-2] in SURE):
        blurred, tail = raw[:-1], ((WORD, fold_word(raw[-1]), 1),)
    if (
        all(c.isdigit() or c in MISREAD or c in ".,·'’" for c in blurred)
        and (
            sum(c.isdigit() for c in blurred) >= sum(c in MISREAD for c in blurred) - 2
            or _ROUND_THOUSANDS.fullmatch(blurred)
        )
        and not (len(blurred) > 2 and blurred[:2].isalpha() and not set(blurred[:2]) <= SURE)
    ):
        mended = "".join(MISREAD.get(c, c) for c in blurred)
        if _NUMERIC.fullmatch(mended):
            return ((BLUR, blurred, len(blurred)), *tail)
    if first[0].isdigit() and len(pieces) > 1 and pieces[1] in {".", ","}:
        # "1,580.Then": a number, a stop, and the next sentence
        return _as_pieces(pieces)
    if known and len(raw) > 3 and (apart := _unglue(raw, unit_words, known)):
        return apart
    if not first[0].isdigit() and fold_word(first) in unit_words and len(first) > 1:
        return _as_pieces(pieces)
    if pieces[0].isalpha() and len(pieces) > 2 and pieces[1] == ".":
        return _as_pieces(pieces)
    return ((CODE, whole, len(raw)),)


_AS_L = str.maketrans("10568", "losbb")
_AS_I = str.maketrans("10568", "iosbb")


def _word_with_figures(whole: str, known: frozenset[str]) -> str:
    """The word of the vocabulary in which figures were printed for letters ("fue1"), or ""."""
    figures = sum(c.isdigit() for c in whole)
    if whole[0] in "123456789" or figures * 2 > len(whole) or not whole.isalnum():
        return ""
    for table in (_AS_L, _AS_I):
        word = whole.translate(table)
        if word.isalpha() and word in known:
            return word
    return ""


_ROUND_THOUSANDS = re.compile(r"\d{1,2}[OО]?,[OО0]{3}")
_RUN = re.compile(r"[\dOoОоlIi|SsZBЗзzQ]+(?:[.,·][\dOoОоlIi|SsZBЗзzQ]+)*")


def _unglue(
    raw: str, unit_words: frozenset[str], known: frozenset[str]
) -> tuple[tuple[int, str, int], ...]:
    """Words and numbers printed with no blank between them ("Ladedruck1,38ata"), or nothing."""
    out: list[tuple[int, str, int]] = []
    folded = fold_word(raw)
    if len(folded) != len(raw):
        folded = raw.lower()
    i, n = 0, len(raw)
    while i < n:
        run = None
        if raw[i].isdigit() or (out and out[-1][0] == WORD):
            run = _RUN.match(raw, i)
            if run and not any(c.isdigit() for c in run.group()):
                run = None
        if run is None and raw[i] in ".," and out:
            out.append((SIGN, raw[i], 1))
            i += 1
            continue
        if run is not None:
            body = run.group()
            while (
                len(body) > 1
                and not body[-1].isdigit()
                and (folded[i + len(body) - 1 :] in unit_words)
            ):
                body = body[:-1]  # "45l"
            out.append(
                (NUMBER, body, len(body))
                if body.replace(".", "").replace(",", "").replace("·", "").isdigit()
                else (BLUR, body, len(body))
            )
            i += len(body)
            continue
        if out and out[-1][0] in {NUMBER, BLUR} and folded[i:] in unit_words:
            out.append((WORD, folded[i:], n - i))
            return tuple(out)
        j = i
        while j < n and (raw[j].isalpha() or raw[j] in "²³"):
            j += 1
        least = 2 if out and out[-1][0] in {NUMBER, BLUR} else 4
        for end in range(j, i + least - 1, -1):
            word = folded[i:end]
            if (word in known and end - i > 2) or (word in unit_words and least == 2):
                break
        else:
            return ()
        out.append((WORD, folded[i:end], end - i))
        i = end
    numbers = sum(1 for kind, _, _ in out if kind in {NUMBER, BLUR})
    return tuple(out) if numbers and len(out) > 1 else ()


def _as_pieces(pieces: list[str]) -> tuple[tuple[int, str, int], ...]:
    out = []
    for piece in pieces:
        if piece[0].isdigit():
            out.append((NUMBER, _plain_number(piece), len(piece)))
        elif len(piece) > 1 or piece.isalpha():
            out.append((WORD, fold_word(piece), len(piece)))
        else:
            out.append((SIGN, _SIGNS.get(piece, piece), 1))
    return tuple(out)
