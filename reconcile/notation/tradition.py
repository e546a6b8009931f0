"""Tells by its words and marks which tradition a text belongs to, and its language."""

from __future__ import annotations

import re
from functools import lru_cache
from math import exp
from typing import NamedTuple

from reconcile.reference import load_rows

_HOME = {
    "british": "english", "american": "english", "german": "german", "soviet": "russian",
    "french": "french", "italian": "italian", "japanese": "japanese", "unknown": "english",
}  # fmt: skip
_OF_LANGUAGE = {
    "german": "german",
    "russian": "soviet",
    "french": "french",
    "italian": "italian",
    "japanese": "japanese",
}
_WORD = re.compile(r"[^\W\d_]+")


class Manner(NamedTuple):
    """How a text is to be read."""

    tradition: str
    languages: tuple[str, ...]
    continental: bool
    speech: bool
    odds: tuple[tuple[str, float], ...]


@lru_cache(maxsize=1)
def _marks() -> tuple[dict[str, list[tuple[str, float]]], dict[str, list[tuple[str, float]]]]:
    words: dict[str, list[tuple[str, float]]] = {}
    signs: dict[str, list[tuple[str, float]]] = {}
    for row in load_rows("notation/tradition-marks"):
        entry = (row["value"], float(row["weight"]))
        into = words if row["role"] == "language" else signs
        for form in row["forms"].split("|"):
            into.setdefault(form, []).append(entry)
    return words, signs


def detect(text: str, tradition: str) -> Manner:
    """Language, tradition and number style of `text`.

    Parameters
    ----------
    tradition : str
        As given by the caller; "unknown" lets the text decide.
    """
    sample = text if len(text) < 4000 else text[:4000]
    if _HOME[tradition] == "english" and tradition != "unknown" and sample.isascii():
        return _plain_english(tradition, _is_speech(sample))
    words, signs = _marks()
    language = {"english": 0.0, "german": 0.0, "russian": 0.0, "french": 0.0, "italian": 0.0,
                "japanese": 0.0}  # fmt: skip
    home = _HOME[tradition]
    language[home] += 1.6 if home != "english" else 0.6
    if not sample.isascii():
        cyrillic = japanese = 0
        for c in sample:
            if c > "\u03ff":
                if c < "\u0500":
                    cyrillic += 1
                elif "\u3040" <= c <= "\u9fff" or c > "\uff00":
                    japanese += 1
        language["russian"] += 0.5 * cyrillic
        language["japanese"] += 1.0 * japanese
    found = _WORD.findall(sample.lower())
    for word in found:
        if word in words:
            for name, weight in words[word]:
                language[name] += weight
    chosen = max(language, key=language.__getitem__)
    speech = chosen == "english" and _is_speech(sample)
    if tradition != "unknown":
        continental = chosen in {"german", "russian", "french", "italian"}
        langs = (chosen,) if chosen == "english" else (chosen, "english")
        if chosen == "english" and tradition in _OF_LANGUAGE.values():
            langs = ("english", home)
        return Manner(tradition, langs, continental, speech, ((tradition, 1.0),))
    score = {"british": 0.2, "american": 0.2}
    if chosen != "english":
        score[_OF_LANGUAGE[chosen]] = 4.0
    lowered = sample.lower()
    for form, entries in signs.items():
        if form in lowered:
            for name, weight in entries:
                score[name] = score.get(name, 0.0) + weight
    total = sum(exp(v) for v in score.values())
    odds = tuple(sorted(((k, exp(v) / total) for k, v in score.items()), key=lambda x: -x[1]))
    best, weight = odds[0]
    name = best if weight > 0.75 or chosen != "english" else "unknown"
    continental = chosen in {"german", "russian", "french", "italian"}
    langs = (chosen,) if chosen == "english" else (chosen, "english")
    return Manner(name, langs, continental, speech, odds)


@lru_cache(maxsize=4)
def _plain_english(tradition: str, speech: bool) -> Manner:
    return Manner(tradition, ("english",), False, speech, ((tradition, 1.0),))


_CAPITAL = re.compile(r"[A-Z]")
_DIGIT = re.compile(r"\d")
_STAMP = re.compile(r"^[ \t]*[\[(]?\d{1,2}:\d\d(?::\d\d)?(?:[.,]\d+)?[\])]?", re.MULTILINE)
_NUMBER_WORD = re.compile(
    r"\b(?:(?:twen|thir|for|fif|six|seven|eigh|nine)ty|(?:thir|four|fif|six|seven|eigh|nine)teen"
    r"|hundred|thousand|plus|minus)\b",
    re.IGNORECASE,
)


def _is_speech(text: str) -> bool:
    """Whether a text looks like someone talking: hardly a capital, a stop or a figure.

    One that was set down with capitals and stops has its numbers in words all the same.
    """
    text = _STAMP.sub("", text)
    count = text.count(" ") + 1
    if count < 4:
        return False
    if len(_NUMBER_WORD.findall(text)) > 1 and not _DIGIT.search(text):
        return True
    stops = text.count(".") + text.count(",")
    if stops * 12 > count or (stops + text.count(";") + text.count(":")) * 12 > count:
        return False
    if len(_CAPITAL.findall(text)) > 0.02 * len(text) and any(c.islower() for c in text):
        return False
    return len(_DIGIT.findall(text)) * 4 <= len(text) * 0.4
