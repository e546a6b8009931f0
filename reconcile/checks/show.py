"""Numbers for people: SI values in the decimal units a reader has a feeling for."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from unicodedata import numeric

from reconcile.checks.sides import Side
from reconcile.measure.display import FORM_WORDS
from reconcile.measure.quantity import show
from reconcile.measure.units import unit_row

_SCALES: dict[str, tuple[str, float]] = {
    "Pa": ("kPa", 1e3),
    "1/s": ("rev/min", 1 / 60),
    "m3": ("l", 1e-3),
    "m3/s": ("l/h", 1e-3 / 3600),
    "kg/s": ("kg/h", 1 / 3600),
    "kg/J": ("g/kWh", 1e-3 / 3.6e6),
    "m3/J": ("l/kWh", 1e-3 / 3.6e6),
    "W": ("kW", 1e3),
    "rad": ("°", 0.017453292519943295),
    "s": ("s", 1.0),
}
BOUND_WORDS = {
    "max": "maximum",
    "min": "minimum",
    "nominal": "normal value",
    "range": "range",
    "approx": "approximate value",
}
_ZERO_CELSIUS = 273.15
_FRACTION = re.compile(r"(\d*)([¼½¾⅓⅔⅛⅜⅝⅞])")
_FORM_WORDS: dict[str, str] = {str(form): word for form, word in FORM_WORDS.items()}


def decimal_unit(si_unit: str, kind: str = "") -> tuple[str, float]:
    """Name and size of the unit in which an SI value is shown."""
    if si_unit == "1/s" and kind != "rotational_speed":
        return "1/s", 1.0
    return _SCALES.get(si_unit, (si_unit if si_unit != "1" else "", 1.0))


def form_word(form: str) -> str:
    """Reference form as it stands behind a number: "gauge", "over the datum"; blank for none."""
    return _FORM_WORDS.get(form, "")


def show_value(si: Fraction | float, side: Side, *, absolute: bool = False) -> str:
    """A value on the comparable scale of `side`, as "379.2 kPa gauge" or "90 °C".

    Pressures are counted as the side's own form counts them, or from vacuum (`absolute`).
    """
    return _behind(_number(si, side, absolute), side, absolute)


def show_as_printed(si: Fraction | float, side: Side) -> str:
    """A value on the comparable scale of `side` in the side's printed unit."""
    number = _digits(float(side.scale.number(Fraction(si))), 4)
    return " ".join(p for p in (number, unit_row(side.unit).symbol, form_word(side.form)) if p)


def show_si(si: Fraction | float, side: Side) -> str:
    """A value in plain SI, for the steps of a calculation."""
    unit = unit_row(side.unit).si_unit
    return f"{float(si):.6g} {unit if unit != '1' else ''}".rstrip()


def show_ends(side: Side, *, absolute: bool = False) -> str:
    """All the side's numbers in SI, as "414 to 517 kPa gauge"."""
    numbers = [_number(si, side, absolute) for si in side.si]
    return _behind(" to ".join(numbers), side, absolute)


def show_printed(side: Side) -> str:
    """All the side's numbers in the printed unit, as "8 to 10 lb/in² gauge"."""
    signed = side.form == "fixed_datum"
    numbers = " to ".join(show(end, signed=signed) for end in side.ends)
    return " ".join(p for p in (numbers, unit_row(side.unit).symbol, form_word(side.form)) if p)


def show_difference(si: Fraction | float, side: Side, *, printed: bool = False) -> str:
    """A difference on the scale of `side`, without any zero; in its own unit where `printed`."""
    if printed:
        number, name = float(si) / abs(side.scale.slope), unit_row(side.unit).symbol
    elif unit_row(side.unit).si_unit == "K":
        number, name = float(si), "K"
    else:
        name, size = decimal_unit(unit_row(side.unit).si_unit, side.kind)
        number = float(si) / size
    return f"{_digits(number, 3)} {name}".rstrip()


def tell(written: str, side: Side, *, printed: bool = False, absolute: bool = False) -> str:
    """A figure and what it comes to: "4 lb./sq. in. is 27.58 kPa gauge", "210 gal (Imp.)".

    In the printed unit and form (`printed`), or in SI; nothing is said twice.
    """
    plain = _FRACTION.sub(_as_decimal, written.replace(",", "")).replace("–", "-")
    bare = not any(c.isalpha() or c in "°'\"" for c in plain)
    symbol = unit_row(side.unit).symbol
    if printed:
        if bare:
            return show_printed(side)
        whole = all(show(end).lstrip("-") in plain for end in side.ends)
        return with_form(written, side) if whole else f"{written} [{show_printed(side)}]"
    value = show_ends(side, absolute=absolute)
    name = f"{written} {symbol}".rstrip() if bare else written
    return value if name.replace(",", "") == value else f"{name} is {value}"


def _as_decimal(found: re.Match[str]) -> str:
    whole = Fraction(found.group(1) or 0)
    return show(whole + Fraction(numeric(found.group(2))).limit_denominator(16))


def with_form(written: str, side: Side) -> str:
    """A figure as written, with the form of a pressure behind it: "55 lb./sq. in. (gauge)"."""
    word = form_word(side.form)
    return f"{written} ({word})" if word and word not in written else written


def end_sentence(text: str) -> str:
    """`text` with one full stop, whatever symbol it ends in."""
    return text if text.endswith(".") else f"{text}."


def _number(si: Fraction | float, side: Side, absolute: bool) -> str:
    unit = unit_row(side.unit).si_unit
    if unit == "K" and not side.is_difference:
        return _digits(float(si) - _ZERO_CELSIUS, 4)
    value = Fraction(si)
    if not absolute and side.form != "absolute" and side.kind == "pressure":
        value -= side.scale.offset
        if side.scale.factor < 0:
            value = -value  # counted downwards
    number = _digits(float(value) / decimal_unit(unit, side.kind)[1], 4)
    signed = side.form == "fixed_datum" and not absolute and value > 0
    return f"+{number}" if signed else number


def _behind(numbers: str, side: Side, absolute: bool) -> str:
    unit = unit_row(side.unit).si_unit
    if unit == "K" and not side.is_difference:
        return f"{numbers} °C"
    known = side.form in ("absolute", "gauge", "fixed_datum", "below_ambient")
    form = "absolute" if absolute and known else form_word(side.form)
    return " ".join(p for p in (numbers, decimal_unit(unit, side.kind)[0], form) if p)


def _digits(number: float, places: int) -> str:
    """So many figures, without a power of ten where plain digits do."""
    if abs(number) >= 10 ** (places - 1):
        return f"{number:.0f}"
    return f"{Decimal(f'{number:.{places}g}'):f}"
