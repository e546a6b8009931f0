"""Words without umlauts or accents, in other cases, shortened and compounded, mean the same."""

from __future__ import annotations

import pytest

import reconcile
from reconcile.notation.spellings import spelt_otherwise

SAME = [
    ("Schmierstofftemperatur höchstens 95 Grad", "german", "oil temperature", "max"),
    ("SCHMIERSTOFFTEMPERATUR HOECHSTENS 95 GRAD", "german", "oil temperature", "max"),
    ("Kuehlstoffaustritt hoechstens 115 Grad", "german", "coolant outlet temperature", "max"),
    ("Kraftst. mind. 1,2 atü", "german", "fuel pressure", "min"),
    ("PRESSION D'HUILE 5 KG/CM2 MINI", "french", "oil pressure", "min"),
    ("Температуры масла, входящего в мотор, не выше 75°", "soviet", "oil inlet temperature", "max"),
    ("давлением бензина не более 0,35 кг/см²", "soviet", "fuel pressure", "max"),
    ("velocita' massima in affondata 620 km/h", "italian", "airspeed", "max"),
    ("筒温ハ二三〇度ヲ超エザルコト", "japanese", "cylinder head temperature", "max"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "tradition", "parameter", "bound"), SAME)
def test_spelling_does_not_matter(text: str, tradition: str, parameter: str, bound: str) -> None:
    """However a word is spelt, it names the same parameter and bounds it the same way."""
    reading = reconcile.read_text(text, tradition=tradition)
    assert [(limit.parameter, limit.bound) for limit in reading.limits] == [(parameter, bound)]


def test_derived_spellings_keep_the_phrase() -> None:
    """Letters change all together, endings change only in single words."""
    german = set(spelt_otherwise("german", ("öldruck",), inflect=True))
    assert {("oeldruck",), ("öldrucks",)} <= german
    phrase = set(spelt_otherwise("german", ("größte", "dauerleistung"), inflect=True))
    assert ("groesste", "dauerleistung") in phrase
    assert ("größte", "dauerleistungs") not in phrase
    assert list(spelt_otherwise("japanese", ("を", "超"), inflect=False)) == [("ヲ", "超")]
