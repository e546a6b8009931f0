"""Gauges: what one reads, how finely, how truly; and one gauge's own calibration.

Ordinary gauges are rows of ``tables/gauges/gauges.csv``; a particular one is described in a
small TOML file with the same fields, and its calibration points if it has any.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from math import sqrt
from pathlib import Path
from typing import Any

from reconcile.errors import (
    MissingSourceError,
    OutOfRangeError,
    TableError,
    UnknownTermError,
    UsageError,
)
from reconcile.measure.quantity import show
from reconcile.measure.units import UnitRow, unit_row
from reconcile.records import Form
from reconcile.reference import load_rows

READS_TO = Fraction(1, 5)
"""Part of a division a pointer can be read to; common practice, no source."""
_NEEDED = ("unit", "lo", "hi", "division", "accuracy")
_WORDS = {
    "span": "±{} % of the span",
    "unit": "±{} {}",
    "reading": "±{} % of the reading",
}


@dataclass(frozen=True, slots=True)
class CalibrationPoint:
    """What the gauge showed when the truth was known, in the gauge's unit."""

    reading: Fraction
    true: Fraction
    uncertainty: Fraction
    """Expanded uncertainty of the correction."""


@dataclass(frozen=True, slots=True)
class Calibration:
    """A gauge's own calibration table, straight lines between its points.

    Raises
    ------
    UsageError
        Fewer than two points, readings or true values that do not rise together, or an
        uncertainty below zero.
    """

    points: tuple[CalibrationPoint, ...]
    coverage_factor: Fraction = Fraction(2)
    """Of the uncertainties; certificates state 2 unless they say otherwise."""

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise UsageError("a calibration of fewer than two points", expected="two or more")
        for a, b in zip(self.points, self.points[1:]):
            if not (a.reading < b.reading and a.true < b.true):
                raise UsageError(
                    f"the calibration does not rise from {show(a.reading)} to {show(b.reading)}",
                    expected="readings and true values that rise together",
                    do="sort the points, or have the gauge mended",
                )
        if any(p.uncertainty < 0 for p in self.points) or self.coverage_factor <= 0:
            raise UsageError("an uncertainty below zero in the calibration")

    def reading_of(self, true: Fraction) -> Fraction:
        """What the gauge shows for a true value, exact along the line.

        Raises
        ------
        OutOfRangeError
            Outside the calibrated points: nothing is known there.
        """
        for a, b in zip(self.points, self.points[1:]):
            if a.true <= true <= b.true:
                return a.reading + (true - a.true) * (b.reading - a.reading) / (b.true - a.true)
        raise OutOfRangeError(
            f"{show(true)} lies outside the calibration",
            expected=f"{show(self.points[0].true)} to {show(self.points[-1].true)}",
            do="have the gauge calibrated to there",
        )

    def standard_uncertainty(self, reading: Fraction) -> float:
        """Standard uncertainty at a reading: the larger of the neighbouring points'."""
        near = [
            max(a.uncertainty, b.uncertainty)
            for a, b in zip(self.points, self.points[1:])
            if a.reading <= reading <= b.reading
        ] or [max(p.uncertainty for p in self.points)]
        return float(min(near) / self.coverage_factor)


@dataclass(frozen=True, slots=True)
class Gauge:
    """One gauge. Numbers are exact, in its unit."""

    slug: str
    name: str
    unit: UnitRow
    form: Form
    lo: Fraction
    hi: Fraction
    division: Fraction
    accuracy: Fraction
    """Limit of permissible error, counted as `accuracy_of` says."""
    accuracy_of: str = "span"
    """"span" and "reading" in per cent, "unit" in the gauge's unit."""
    datum: str = ""
    vent: str = ""
    """"vented" feels the air around; "sealed" counts from the air of its making."""
    display: str = "dial"
    parameters: tuple[str, ...] = ()
    remark: str = ""
    """What a user of its marks has to know."""
    source: str = ""
    calibration: Calibration | None = field(default=None, repr=False)

    def __post_init__(self) -> None:
        if not self.lo < self.hi:
            raise UsageError(f"a scale from {show(self.lo)} to {show(self.hi)}", where=self.name)
        if self.division <= 0 or self.division > self.hi - self.lo:
            raise UsageError(
                f"a division of {show(self.division)}",
                where=self.name,
                expected="above zero and within the scale",
            )
        if self.accuracy < 0:
            raise UsageError("an accuracy below zero", where=self.name)
        if (self.form == "none") == (self.unit.si_unit == "Pa"):
            raise UsageError(
                f"{self.unit.name} with the reference form {self.form!r}",
                where=self.name,
                expected="a reference form for a pressure, none for anything else",
            )

    @property
    def symbol(self) -> str:
        """Symbol of its unit."""
        return self.unit.symbol or self.unit.ucum

    @property
    def accuracy_words(self) -> str:
        """Its accuracy for people."""
        return _WORDS[self.accuracy_of].format(show(self.accuracy), self.symbol)

    def limit_of_error(self, reading: Fraction) -> Fraction:
        """Limit of permissible error at a reading, in the gauge's unit."""
        if self.accuracy_of == "span":
            return self.accuracy * (self.hi - self.lo) / 100
        if self.accuracy_of == "reading":
            return self.accuracy * abs(reading) / 100
        return self.accuracy

    def standard_uncertainty(self, reading: Fraction) -> float:
        """Standard uncertainty of an indication, in the gauge's unit.

        From the calibration where there is one, else from the limit of error
        (rectangular); with what the eye or the display leaves open.
        """
        if self.calibration is not None:
            u = self.calibration.standard_uncertainty(reading)
        else:
            u = float(self.limit_of_error(reading)) / sqrt(3.0)
        part = Fraction(1, 2) if self.display == "digital" else READS_TO
        return sqrt(u * u + (float(part * self.division) / sqrt(3.0)) ** 2)


def _gauge(cells: dict[str, str], calibration: Calibration | None = None) -> Gauge:
    return Gauge(
        slug=cells["slug"],
        name=cells["name"],
        unit=unit_row(cells["unit"]),
        form=cells["form"],  # type: ignore[arg-type]
        lo=Fraction(cells["lo"]),
        hi=Fraction(cells["hi"]),
        division=Fraction(cells["division"]),
        accuracy=Fraction(cells["accuracy"]),
        accuracy_of=cells["of"],
        datum=cells["datum"],
        vent=cells["vent"],
        display=cells["display"],
        parameters=tuple(p for p in cells["parameters"].split("|") if p),
        remark=cells["remark"],
        source=cells["source"],
        calibration=calibration,
    )


@cache
def gauges() -> tuple[Gauge, ...]:
    """The ordinary gauges, in the table's order."""
    return tuple(_gauge(row) for row in load_rows("gauges/gauges"))


def gauges_for(parameter: str) -> tuple[Gauge, ...]:
    """Ordinary gauges that are usual for a parameter; may be empty."""
    return tuple(g for g in gauges() if parameter in g.parameters)


def find_gauge(slug: str) -> Gauge:
    """The ordinary gauge of that slug.

    Raises
    ------
    UnknownTermError
        No such gauge; near misses are named.

    Examples
    --------
    >>> find_gauge("oil-0-100-psi").division
    Fraction(5, 1)
    """
    import difflib

    for gauge in gauges():
        if gauge.slug == slug:
            return gauge
    near = difflib.get_close_matches(slug, [g.slug for g in gauges()], 3, 0.4)
    raise UnknownTermError(
        f"no gauge {slug!r}",
        expected="the name of an ordinary gauge, or a TOML file that describes one",
        do=("did you mean " + " or ".join(near) + "? " if near else "") + "see `reconcile gauges`",
    )


def read_calibration(path: str | Path) -> Calibration:
    """A calibration from a CSV file with the columns reading, true, uncertainty.

    Raises
    ------
    MissingSourceError
        The file cannot be opened.
    UsageError
        A column is missing, a cell is no number, or the points do not rise.
    """
    import csv

    try:
        with open(path, encoding="utf-8-sig", newline="") as stream:
            rows = list(csv.DictReader(stream))
    except (OSError, UnicodeError) as fault:
        raise _cannot_open(path, fault) from None
    return _calibration(rows, str(path))


def _cannot_open(path: str | Path, fault: Exception) -> MissingSourceError:
    why = getattr(fault, "strerror", None) or "not a text in UTF-8"
    return MissingSourceError(f"cannot be read ({why})", where=str(path))


def _calibration(
    rows: Iterable[dict[str, Any]], where: str, factor: Fraction = Fraction(2)
) -> Calibration:
    points = []
    for number, row in enumerate(rows, 1):
        try:
            points.append(
                CalibrationPoint(
                    *(Fraction(str(row[k])) for k in ("reading", "true", "uncertainty"))
                )
            )
        except (KeyError, ValueError, ZeroDivisionError):
            raise UsageError(
                f"point {number} of the calibration is not three numbers",
                where=where,
                expected="reading, true and uncertainty",
            ) from None
    return Calibration(tuple(sorted(points, key=lambda p: p.reading)), factor)


def read_gauge(path: str | Path) -> Gauge:
    """A gauge described in a TOML file.

    Parameters
    ----------
    path : str or Path
        With the keys name, unit, form (pressures), lo, hi, division, accuracy and of
        ("span", "unit" or "reading"); if wanted datum, vent, display, remark, parameters (a
        list), and a list ``calibration`` of tables with reading, true and uncertainty.

    Returns
    -------
    gauge : Gauge

    Raises
    ------
    MissingSourceError
        The file cannot be opened.
    UsageError
        It is no TOML, or what it says cannot be.
    """
    where = Path(path).name
    try:
        found = tomllib.loads(Path(path).read_text(encoding="utf-8"), parse_float=Fraction)
    except (OSError, UnicodeError) as fault:
        raise _cannot_open(path, fault) from None
    except (tomllib.TOMLDecodeError, ValueError) as fault:
        raise UsageError(f"is not TOML: {fault}", where=where) from None
    cells = {
        "slug": Path(path).stem, "name": Path(path).stem, "form": "none", "datum": "", "vent": "",
        "of": "span", "display": "dial", "source": f"described in {where}", "parameters": "",
        "remark": "",
    }  # fmt: skip
    known = {*_NEEDED, *cells} - {"slug"}
    points = found.pop("calibration", None)
    factor = Fraction(found.pop("coverage_factor", 2))
    for key, value in found.items():
        cells[key] = "|".join(map(str, value)) if isinstance(value, list) else str(value)
    for missing in _NEEDED:
        if missing not in cells:
            raise UsageError(f"does not say {missing!r}", where=where)
    if strange := sorted(set(found) - known):
        raise UsageError(f"says {strange[0]!r}", where=where, expected=", ".join(sorted(known)))
    _check_words(cells, where)
    try:
        return _gauge(cells, _calibration(points, where, factor) if points else None)
    except (ValueError, ZeroDivisionError) as fault:
        if isinstance(fault, UsageError | TableError):
            raise
        raise UsageError(f"holds what is no number: {fault}", where=where) from None


def _check_words(cells: dict[str, str], where: str) -> None:
    allowed: Sequence[tuple[str, tuple[str, ...]]] = (
        ("form", ("absolute", "gauge", "fixed_datum", "below_ambient", "differential", "none")),
        ("vent", ("", "vented", "sealed")),
        ("of", tuple(_WORDS)),
        ("display", ("dial", "digital")),
    )
    for key, words in allowed:
        if cells[key] not in words:
            raise UnknownTermError(
                f"{key} is {cells[key]!r}", where=where, expected=", ".join(w for w in words if w)
            )
