"""What is written in a tradition's notation is read back exactly; no text breaks the reader."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile import read_text
from reconcile.notation.lexicon import unit_words
from reconcile.notation.numerals import read_kanji, read_numeral
from reconcile.notation.spoken import number_words, read_spoken
from reconcile.notation.tokens import read_tokens

# (tradition, sentence, unit printed, UCUM code): the number goes into the braces.
SENTENCES = [
    ("british", "Engine speed in the climb {} r.p.m. with care.", "{rev}/min", "en"),
    ("british", "Hydraulic pressure {} lb./sq. in. on the gauge.", "[psi]", "en"),
    ("american", "Gross weight for take-off {} lbs. on this day.", "[lb_av]", "en"),
    ("american", "Climb to {} ft. and level off.", "[ft_i]", "en"),
    ("german", "Die Drehzahl beträgt {} U/min im Steigflug.", "{rev}/min", "eu"),
    ("german", "Das Fluggewicht beträgt {} kg beim Start.", "kg", "eu"),
    ("soviet", "Обороты мотора {} об/мин на взлёте.", "{rev}/min", "eu"),
    ("french", "Le régime du moteur est de {} tr/mn en montée.", "{rev}/min", "eu"),
    ("italian", "Il regime in salita è di {} giri/min.", "{rev}/min", "eu"),
]


def _thousands(value: int, mark: str) -> str:
    return f"{value:,}".replace(",", mark)


@pytest.mark.parametrize(("tradition", "sentence", "unit", "style"), SENTENCES)
@given(value=st.integers(400, 3600), mark=st.sampled_from(["", "usual"]))
@settings(max_examples=25, deadline=None)
def test_whole_numbers_come_back(
    tradition: str, sentence: str, unit: str, style: str, value: int, mark: str
) -> None:
    """A whole number, plain or with its tradition's thousands mark, is read back."""
    printed = _thousands(value, "" if not mark else "," if style == "en" else ".")
    [figure] = read_text(sentence.format(printed), tradition).figures
    assert (figure.nominal, figure.unit, figure.status) == (value, unit, "read")
    assert figure.as_written.startswith(printed)


@given(whole=st.integers(1, 99), part=st.integers(1, 99))
@settings(max_examples=40, deadline=None)
@pytest.mark.parametrize(
    ("tradition", "sentence", "mark"),
    [
        ("british", "Fuel pressure {} lb./sq. in. at the pump.", "."),
        ("british", "Fuel pressure {} lb./sq. in. at the pump.", "·"),
        ("american", "Oil capacity {} gal. in each nacelle.", "."),
        ("german", "Schmierstoffbehälter {} Liter Inhalt.", ","),
        ("french", "Réservoir d'huile {} litres environ.", ","),
        ("italian", "Serbatoio olio {} litri in tutto.", ","),
        ("soviet", "Ёмкость маслобака {} л всего.", ","),
    ],
)
def test_decimals_come_back(
    tradition: str, sentence: str, mark: str, whole: int, part: int
) -> None:
    """A decimal with its tradition's mark is read back with the step of its last place."""
    printed = f"{whole}{mark}{part:02d}"
    [figure] = read_text(sentence.format(printed), tradition).figures
    assert figure.nominal == Fraction(whole * 100 + part, 100)
    assert figure.resolution == Fraction(1, 100)


@given(
    whole=st.integers(1, 40),
    above=st.sampled_from([(1, 2), (1, 4), (3, 4), (1, 8), (3, 8), (5, 8), (7, 8)]),
    form=st.sampled_from(["{w}{v}", "{w} {v}", "{w} {a}/{b}", "{w}-{a}/{b}"]),
)
@settings(max_examples=60, deadline=None)
def test_vulgar_fractions_come_back(whole: int, above: tuple[int, int], form: str) -> None:
    """A fraction in any printed form is exact, and its step is its denominator's."""
    a, b = above
    glyph = {(1, 2): "½", (1, 4): "¼", (3, 4): "¾", (1, 8): "⅛", (3, 8): "⅜", (5, 8): "⅝",
             (7, 8): "⅞"}[above]  # fmt: skip
    printed = form.format(w=whole, v=glyph, a=a, b=b)
    [figure] = read_text(f"Oil tank holds {printed} gallons.", "british").figures
    assert (figure.nominal, figure.resolution) == (whole + Fraction(a, b), Fraction(1, b))


@given(lo=st.integers(40, 90), width=st.integers(1, 40))
@settings(max_examples=30, deadline=None)
@pytest.mark.parametrize(
    ("tradition", "sentence", "sign"),
    [
        ("british", "Oil pressure {} lb./sq. in. in flight.", "-"),
        ("british", "Oil pressure {} lb./sq. in. in flight.", " to "),
        ("american", "Oil pressure between {} psi in flight.", " and "),
        ("german", "Schmierstofftemperatur {} Grad im Fluge.", " bis "),
        ("italian", "Temperatura olio {} gradi in volo.", " ÷ "),
        ("french", "Température d'huile {} °C en vol.", " à "),
        ("soviet", "Температура масла {} °С в полёте.", "—"),
        ("japanese", "油温 {} 度 を保つ。", "〜"),
    ],
)
def test_ranges_come_back(tradition: str, sentence: str, sign: str, lo: int, width: int) -> None:
    """A range with any tradition's sign for "to" is one figure with both ends."""
    printed = f"{lo}{sign}{lo + width}"
    [figure] = read_text(sentence.format(printed), tradition).figures
    assert (figure.nominal, figure.lo, figure.hi) == (None, lo, lo + width)


@given(value=st.integers(1, 9999), continental=st.booleans())
@settings(max_examples=60)
def test_numerals_do_not_depend_on_thousands_marks(value: int, continental: bool) -> None:
    """A number with its thousands mark is the number without it."""
    marked = _thousands(value, "." if continental else ",")
    one, two = read_numeral(marked, continental), read_numeral(str(value), continental)
    assert one is not None and two is not None and one.value == two.value == value


@given(st.integers(0, 99_999))
@settings(max_examples=60)
def test_kanji_place_value_comes_back(value: int) -> None:
    """Digits in Chinese numerals are read by place."""
    printed = str(value).translate(str.maketrans("0123456789", "〇一二三四五六七八九"))
    numeral = read_kanji(printed)
    assert numeral is not None and numeral.value == value


_ONES = "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen"
_ONES = [*_ONES.split(), "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]
_TENS = ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def _in_words(value: int) -> str:
    if value < 20:
        return _ONES[value]
    if value < 100:
        return _TENS[value // 10] + (f" {_ONES[value % 10]}" if value % 10 else "")
    if value < 1000:
        rest = f" and {_in_words(value % 100)}" if value % 100 else ""
        return f"{_ONES[value // 100]} hundred{rest}"
    rest = f" {_in_words(value % 1000)}" if value % 1000 else ""
    return f"{_in_words(value // 1000)} thousand{rest}"


@given(st.integers(0, 99_999))
@settings(max_examples=80)
def test_numbers_in_words_come_back(value: int) -> None:
    """A cardinal said in full is read, whoever is speaking."""
    trie, _ = number_words(("english",))
    for speech in (False, True):
        spoken = read_spoken(trie, read_tokens(_in_words(value)), 0, speech=speech)
        assert spoken is not None and spoken.value == value


@given(st.integers(10, 35), st.integers(10, 99))
@settings(max_examples=60)
def test_figures_said_in_pairs_come_back(first: int, second: int) -> None:
    """ "Twenty five fifty" is 2550 when someone talks."""
    trie, _ = number_words(("english",))
    words = f"{_in_words(first)} {_in_words(second)}"
    if first % 10 == 0 and second < 10:
        return
    spoken = read_spoken(trie, read_tokens(words), 0, speech=True)
    assert spoken is not None and spoken.value == first * 100 + second


_ALPHABET = st.one_of(
    st.characters(codec="utf-8"),
    st.sampled_from([*list("0123456789.,-+/°'\"()[]?_½¼ \n|"), "lb", "°C", "r.p.m.", " to ", "Öl"]),
)


@given(st.lists(_ALPHABET, max_size=60), st.sampled_from(["unknown", "british", "german"]))
@settings(max_examples=120, deadline=None)
def test_no_text_breaks_the_reader(pieces: list[str], tradition: str) -> None:
    """Any text is read without an error, and every span is a piece of it."""
    text = "".join(pieces)
    reading = read_text(text, tradition)
    for figure in reading.figures:
        start, end = figure.span
        assert text[start:end] == figure.as_written != ""


@pytest.mark.parametrize(
    "line",
    [
        "Oil pressure 80 lb./sq. in. at 2,400 r.p.m. and +8 lb. boost for 5 mins.\n",
        "1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 ",
        "lb./sq. in. lb./sq. in. °C °C to to to ± ± ± - - - ",
        "max. min. max. min. oil oil oil take-off climb cruise ",
    ],
)
def test_work_grows_with_the_text_and_no_faster(line: str) -> None:
    """Tokens looked at while reading grow in step with the text (counted, not timed)."""
    counts = []
    for times in (40, 80):
        text = line * times
        tokens = read_tokens(text, unit_words())
        counts.append((len(tokens), _steps(text)))
    (n1, s1), (n2, s2) = counts
    assert n2 <= 2 * n1 + 4
    assert s2 <= 2.3 * s1 + 2000


def _steps(text: str) -> int:
    """Function calls that reading `text` takes."""
    import sys

    calls = 0

    def count(frame: object, event: str, arg: object) -> None:
        nonlocal calls
        calls += event == "call"

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        read_text(text, "british")
    finally:
        sys.setprofile(before)
    return calls
