"""What the print about a number shows: no remainder of a spoilt number passes as plainly read.

The damage is that of scanning and typing; common practice, no source.
"""

from __future__ import annotations

import pytest

from reconcile import read_text
from reconcile.records import Figure

_SPOILT = {
    "a bracket never closed": ("Oil pressure to [8 lb./sq. in. at least.", "british"),
    "a bracket among the figures": ("При проверке магнето на 1[800 об/мин.", "soviet"),
    "brackets for a nought": ("Leerlauf 60() bis 700 U/min.", "german"),
    "a stroke for a one": ("Air supply not under /20 lb./sq. in.", "british"),
    "a bar for a one": ("Sauerstofflasche voll |50 atü.", "german"),
    "a mark of exclamation for a one": ("Sauerstofflasche voll !50 atü.", "german"),
    "a semicolon for a point": ("The generator gives 28;5 V.", "british"),
    "an ampersand for an eight": ("The generator gives 2&.5 V.", "british"),
    "a brace for a fraction": ("Petrol 5} lb./sq. in.", "british"),
    "a letter behind the figures": ("Cabin differential 5i lb./sq. in.", "british"),
    "a letter before a fraction": ("Petrol E¾ gallons.", "british"),
    "a blank behind the point": ("The voltmeter stands at 28. 5 volts.", "british"),
    "a blank before the point": ("The voltmeter stands at 28 .5 volts.", "british"),
    "a blank behind a first nought": ("Ventilspiel Auslaß 0, 25 mm.", "german"),
    "a blank among the figures": ("Set the regulator to 2 8·5 volts.", "british"),
    "a nought that stands apart": ("Обороты не выше 180 0 об/мин.", "soviet"),
    "the sign between two numbers lost": ("Idle at 500 600 r.p.m.", "british"),
    "the word for 'to' misread": ("Air supply 220 lo 300 lb./sq. in.", "british"),
    "an equals sign for 'to'": ("The header tank lifts at 10=12 lb./sq. in.", "british"),
    "a plus sign for 'to'": ("Pressione olio 5,5 + 6 Kg/cmq.", "italian"),
    "the lower end not read": ("Air supply 22U to 300 lb./sq. in.", "british"),
    "the upper end not read": ("Warm up at 900 to 1:00 r.p.m.", "british"),
    "the lower end blotted": ("Luft zwischen -1■ bis -20° C.", "german"),
    "plus or minus read as minus": ("Set the regulator to 28·5 volts - 0·25 volts.", "british"),
    "plus or minus lost": ("Set the regulator to 28·5 volts 0·25 volts.", "british"),
    "a plus in two signs": ("Climb with 4-6 lb. boost.", "british"),
    "a lesser part blotted": ("Endurance 5 hrs. ■0 mins. in all.", "british"),
    "a greater part not read": ("She climbs to it in g mins. 20 secs.", "british"),
    "noughts alone": ("A cabin height of g,000 ft. is kept.", "british"),
    "a unit in two": ("Loaded to 5,120 l b. for take-off.", "british"),
    "a unit misread": ("It gives 1,480 b.h.p. at 2,600 i.p.m. on test.", "british"),
    "a degree mark for a nought": ("Тянуть ниже 22° км/час.", "soviet"),
    "per cent for a fraction": ("Petrol 6% galls. per hour.", "british"),
    "a comma for the point": ("Oil 2,0 lb./sq. in. at least.", "british"),
    "revolutions with decimals": ("Обороты не выше 180.0 об/мин.", "soviet"),
    "a stray leading point": ("Press the starter for .15 secs. at most.", "british"),
    "inches taken for metres": ("Tappets .010 m. cold.", "british"),
    "inches of mercury taken for metres": ("Suction 4.5 m. Hg at most.", "british"),
    "pounds taken for hours": ("Loaded to 5,120 h. for take-off.", "british"),
    "a time with a sign": ("Open up to +9 h. and climb.", "british"),
    "a degree mark for quotes": ('Flap 25" take-off, 40° landing.', "british"),
    "the lower of two not read": ("Air supply between 28U and 320 lb./sq. in.", "british"),
    "two degree marks": ("Oil below 17°°C.", "british"),
    "a dash before the degree mark": ("Coolant 10-° C or less.", "british"),
    "a semicolon before the unit": ("Static 1,975; rpm in all.", "british"),
    "a stop before the word for 'to'": ("Air supply 220, to 300 lb./sq. in.", "british"),
}


@pytest.mark.parametrize(("text", "tradition"), _SPOILT.values(), ids=_SPOILT)
def test_what_is_left_of_a_number_is_doubted(text: str, tradition: str) -> None:
    """No figure of a text with a spoilt number passes as plainly read, and each says why."""
    figures = read_text(text, tradition).figures
    spoilt = [f for f in figures if f.as_written not in {"1,480 b.h.p.", "40°"}]
    assert spoilt
    assert all(f.status != "read" for f in spoilt)
    assert all(f.repairs for f in spoilt)


_CLEAN = [
    ("Warm up at 900 to 1,000 r.p.m., oil at +15°C. (59°F.), 3 mins.", "british"),
    ("Never exceed 345 knots (397 m.p.h.) [A.L. 22]; 2 x 160 galls.", "british"),
    ("Boost +12 at 3,000 r.p.m., 46/2500, oil 60-80 lb./sq. in.", "british"),
    ("The oil tank holds 3¼ gals. and an air space of ¾ gal.; tappets .010in. cold.", "british"),
    ("Mit B 4 1,35 ata, mit C 3 1,50 ata; Ladedruck 1,2 ± 0,05 ata.", "german"),
    ("CV 950 a quota m. 4.200, CV 880 al suolo; giri 2550 per più di 2'.", "italian"),
    ("Наддув 850 мм рт. ст., обороты 2 050 об/мин, масло 40—80 °С, 2—3 мин.", "soviet"),
    ("油温は 三十五度 以上、油圧 五乃至七瓩/平方糎、三〇秒を超ゆべからず。", "japanese"),
    ("Period between overhauls raised from 360 to 420 hours.", "british"),
]


@pytest.mark.parametrize(("text", "tradition"), _CLEAN)
def test_clean_print_keeps_its_word(text: str, tradition: str) -> None:
    """Pairs, brackets, fractions and names of fuels are no signs of damage."""
    found = read_text(text, tradition).figures
    doubted = [(f.as_written, f.repairs) for f in found if _marred(f)]
    assert found
    assert not doubted


def _marred(figure: Figure) -> bool:
    return any(
        word in reason
        for reason in figure.repairs
        for word in ("may be a part", "misread", "one number", "linked", "follows", "lost")
    )


@pytest.mark.parametrize(
    ("text", "value", "status"),
    [
        ("Petrol 61/2 galls. per hour.", 6.5, "ambiguous"),
        ("Petrol 12} galls. per hour.", 12.5, "ambiguous"),
        ("Manifold pressure 46. 5 inches.", 46.5, "ambiguous"),
        ("Tappets .010in. cold.", 0.01, "read"),
        ("Coolant 120' C. at most.", 120.0, "repaired"),
        ("Oil not under 45 OC. to open up.", 45.0, "repaired"),
    ],
)
def test_what_can_be_mended_is_mended(text: str, value: float, status: str) -> None:
    """A number that its signs put together again is given whole, and said to be mended."""
    (figure,) = read_text(text, "british").figures
    assert float(figure.quantity.nominal or 0) == value
    assert figure.status == status
