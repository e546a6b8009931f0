"""The reference commands: the atmosphere at a height, the factor table."""

from __future__ import annotations

from reconcile.commands.output import Form, note, write_rows
from reconcile.errors import ExitCode, UnknownTermError, UsageError

_PER_FOOT = 0.3048
_AIR = (
    ("temperature", "temperature", "K"),
    ("pressure", "pressure", "Pa"),
    ("density", "density", "kg/m3"),
    ("sound_speed", "speed of sound", "m/s"),
    ("dynamic_viscosity", "dynamic viscosity", "Pa.s"),
    ("kinematic_viscosity", "kinematic viscosity", "m2/s"),
)


def parse_height(text: str) -> float:
    """A height as typed ("18,000 ft", "-200 m", "5500 m") in metres.

    Raises
    ------
    UsageError
        Not a height, or a number without its unit: metres and feet are both usual, and
        neither is supposed.
    """
    from reconcile.reading import figure

    text = text.strip()
    try:
        bare = float(text.replace(",", ""))
    except ValueError:
        pass
    else:
        raise UsageError(
            f"a height of {bare:g} has no unit",
            expected=f'"{bare:g} ft" or "{bare:g} m"',
            do="say feet or metres",
        )
    try:
        si = figure(text, parameter="altitude").si
    except UsageError:
        si = None
    if si is None or si.nominal is None or si.unit != "m":
        raise UsageError(
            f"{text!r} is not a height",
            expected='for example "18,000 ft" or "5500 m"',
            do="give the height with its unit",
        )
    return si.nominal


def atmosphere(height: str, offset: float, geometric: bool, form: Form) -> int:
    """Print the standard atmosphere at a height, in SI and in units of the trade."""
    from reconcile.measure.atmosphere import isa

    metres = parse_height(height)
    air = isa(metres, geometric=geometric, offset_k=offset)
    rows = []
    for name, shown, unit in _AIR:
        value = float(getattr(air, name))
        rows.append({"quantity": shown, "value": value, "unit": unit, "also": _also(name, value)})
    scale = "geometric" if geometric else "geopotential"
    day = "standard day" if not offset else f"standard day {offset:+g} K"
    note(f"{metres:.1f} m ({metres / _PER_FOOT:.0f} ft) {scale}, {day}, ISO 2533:1975")
    write_rows(rows, form, columns=("quantity", "value", "unit", "also"))
    return ExitCode.CLEAN


def _also(name: str, value: float) -> str:
    from reconcile.measure.units import unit_row

    if name == "temperature":
        celsius = value - 273.15
        return f"{celsius:.2f} °C, {celsius * 1.8 + 32:.2f} °F"
    if name == "pressure":
        shown = (("[psi]", "lb/in²"), ("[in_i'Hg]", "in.Hg"), ("mm[Hg]", "mmHg"), ("att", "ata"))
        return (
            ", ".join(
                f"{value / float(unit_row(code).factor):.5g} {label}" for code, label in shown
            )
            + " (absolute)"
        )
    if name == "sound_speed":
        return (
            f"{value / float(unit_row('[mi_i]/h').factor):.1f} m.p.h., "
            f"{value / float(unit_row('[kn_i]').factor):.1f} kn"
        )
    if name == "density":
        return f"{value / 1.225:.5f} of sea level"
    return ""


def factors(words: str, form: Form) -> int:
    """Print the rows of the unit table that hold `words`."""
    from reconcile.reference import load_rows

    wanted = words.casefold().split()
    rows = [
        dict(row)
        for row in load_rows("units/units")
        if all(any(w in cell.casefold() for cell in row.values()) for w in wanted)
    ]
    if not rows:
        raise UnknownTermError(
            f"no unit's row holds {words!r}", do="list all with: reconcile factors"
        )
    columns = tuple(rows[0])
    shown = tuple(
        c for c in ("name", "ucum", "kind", "factor", "offset", "si_unit", "source") if c in columns
    )
    write_rows(rows, form, columns=columns, shown=shown)
    return ExitCode.CLEAN
