"""Makes the frozen samples of the current schema version: an invented engine, every format.

Run once for a version, before its release: ``python tests/publish/samples/make_samples.py``.
A released version's samples are never made again.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

from reconcile.measure.quantity import Quantity
from reconcile.publish.rows import SCHEMA_VERSION, LimitTable, build_table
from reconcile.records import (
    Candidate,
    Emendation,
    Figure,
    Finding,
    Limit,
    Place,
    Ruling,
    Source,
    Witness,
)

F = Fraction
PSI = {"unit": "[psi]", "kind": "pressure"}
RPM = {"unit": "{rev}/min", "kind": "rotational_speed"}
MANUAL = Source(
    "s-manual",
    "Larkspur II manual.pdf",
    "1f" * 32,
    "pdf",
    title="Larkspur II: pilot's & engineer's notes <2nd>",
    edition="2nd",
    date="1943",
    tradition="british",
)
COPY = Source(
    "s-copy",
    "copy.txt",
    "2e" * 32,
    "text",
    title="=Typed copy",
    tradition="british",
    role="transcription",
    of="s-manual",
)
TALK = Source("s-talk", "talk.srt", "3d" * 32, "captions", tradition="british", role="transcript")


def figure(
    id: str,
    text: str,
    nominal: Any = None,
    *,
    lo: Any = None,
    hi: Any = None,
    pm: Any = None,
    step: Any = 1,
    at: int = 0,
    place: dict[str, Any] | None = None,
    status: str = "read",
    more: dict[str, Any] | None = None,
    **quantity: Any,
) -> Figure:
    """A figure with a quantity of exact numbers."""
    numbers = [None if x is None else F(x) for x in (nominal, lo, hi, pm, step)]
    q = Quantity(
        nominal=numbers[0],
        lo=numbers[1],
        hi=numbers[2],
        plus_minus=numbers[3],
        resolution=numbers[4],
        **quantity,
    )
    where = Place(span=(at, at + len(text)), **(place or {}))
    return Figure(id, where.span, text, q, status, place=where, **(more or {}))  # type: ignore[arg-type]


def _page(number: int, line: int, left: float, **more: Any) -> dict[str, Any]:
    return {
        "source_id": "s-manual",
        "page": number,
        "line": line,
        "box": (left, 100.0 + 12 * line, left + 60.0, 110.0 + 12 * line),
        "how": "text layer",
        **more,
    }


def sample_witnesses() -> list[Witness]:
    """Three witnesses of an invented engine, with every kind of row."""
    cell = {"row": ("Climbing", "M gear"), "column": ("Boost", "lb/sq.in.")}
    manual = [
        figure(
            "f01", "+6 lb/sq.in.", 6, form="fixed_datum", place=_page(3, 4, 72.0, **cell), **PSI
        ),
        figure("f02", "2,850 r.p.m.", 2850, step=50, place=_page(3, 4, 200.0), **RPM),
        figure("f03", "60 lb/sq.in.", 60, step=10, form="gauge", place=_page(3, 9, 72.0), **PSI),
        figure("f04", "45 lb/sq.in.", 45, step=5, form="gauge", place=_page(3, 10, 72.0), **PSI),
        figure(
            "f05",
            "60°-100°C.",
            lo=60,
            hi=100,
            step=5,
            unit="Cel",
            kind="temperature",
            place=_page(3, 12, 72.0),
        ),
        figure(
            "f06",
            "9·5 ± 0·25 lb/sq.in.",
            "19/2",
            pm="1/4",
            step="1/4",
            form="fixed_datum",
            place=_page(3, 13, 72.0),
            status="repaired",
            more={"repairs": ("raised point read as a decimal point",)},
            **PSI,
        ),
        figure(
            "f07",
            "2?0",
            step=None,
            place=_page(4, 1, 72.0),
            status="unread",
            unit="[mi_i]/h",
            kind="speed",
        ),
        figure(
            "f08",
            "12–13",
            lo=12,
            hi=13,
            form="unknown",
            place=_page(4, 2, 72.0),
            status="ambiguous",
            more={
                "candidates": (
                    Candidate(
                        Quantity(lo=F(12), hi=F(13), form="gauge", **PSI), 0.7, "a fuel pressure"
                    ),
                    Candidate(
                        Quantity(lo=F(12), hi=F(13), form="absolute", **PSI), 0.3, "an air pressure"
                    ),
                )
            },
            **PSI,
        ),
        figure(
            "f09",
            "1/3 gall. per minute",
            "1/3",
            step="1/3",
            unit="[gal_br]/min",
            kind="volume_flow",
            place=_page(4, 3, 72.0),
            more={"qualifiers": ("=per engine", "Imperial")},
        ),
        figure("f10", "5 min.", 5, unit="min", kind="time", place=_page(3, 5, 300.0)),
        figure(
            "f11",
            "drop of 150",
            150,
            step=10,
            place=_page(5, 7, 72.0, confidence=0.93),
            **RPM,
        ),
        figure(
            "f12",
            "suction 4\x0c to 5 in.Hg",
            lo=4,
            hi=5,
            unit="[in_i'Hg]",
            kind="pressure",
            form="below_ambient",
            place=_page(5, 8, 72.0),
        ),
    ]
    limits = (
        Limit(
            "l01", "boost", "climb", "max", ("f01",), F(1800), applies_to=("M gear", "100 octane")
        ),
        Limit("l02", "engine speed", "climb", "max", ("f02",), F(1800)),
        Limit("l03", "oil pressure", "normal", "nominal", ("f03",)),
        Limit("l04", "oil pressure", None, "min", ("f04",), notes=("* at 2,400 r.p.m.",)),
        Limit("l05", "oil temperature", "continuous", "range", ("f05",), time_unlimited=True),
        Limit("l06", "boost", "take-off", "max", ("f06",), F(300)),
        Limit("l07", "airspeed", "dive", "max", ("f07",)),
        Limit("l08", "fuel pressure", None, "range", ("f08",)),
        Limit("l09", "fuel consumption", "idling", "approx", ("f09",)),
        Limit("l11", "magneto drop", "run-up", "max", ("f11",)),
        Limit("l12", "suction", None, "range", ("f12",)),
    )
    copy = [
        figure(
            "g01",
            "+6 lb/sq.in.",
            6,
            at=40,
            form="fixed_datum",
            place={"source_id": "s-copy", "page": 1, "line": 2},
            **PSI,
        ),
        figure(
            "g02",
            "2,580 r.p.m.",
            2580,
            at=60,
            step=10,
            place={"source_id": "s-copy", "page": 1, "line": 2},
            **RPM,
        ),
    ]
    talk = [
        figure(
            "h01",
            "sixty pounds",
            60,
            at=12,
            step=10,
            form="gauge",
            place={"source_id": "s-talk", "page": 1, "line": 3, "time_s": 95.5, "how": "caption"},
            **PSI,
        )
    ]
    return [
        Witness(MANUAL, {f.id: f for f in manual}, limits),
        Witness(
            COPY,
            {f.id: f for f in copy},
            (
                Limit("m01", "boost", "climb", "max", ("g01",), F(1800)),
                Limit("m02", "engine speed", "climb", "max", ("g02",), F(1800)),
            ),
        ),
        Witness(
            TALK,
            {f.id: f for f in talk},
            (Limit("n01", "oil pressure", "normal", "nominal", ("h01",)),),
        ),
    ]


def sample_findings(witnesses: list[Witness]) -> list[Finding]:
    """Findings on them: agreement, contradiction with emendations, doubt."""
    proposed = witnesses[0].figures["f02"]
    return [
        Finding("witnesses", "agrees", "both say +6 lb/sq.in.", ("l01", "m01"), ("f01", "g01")),
        Finding(
            "witnesses",
            "contradicts",
            "2,850 in the manual, 2,580 in the copy",
            ("m02",),
            ("g02",),
            seen="2,580",
            expected="2,850",
            difference_si=-4.5,
            difference_u=27.0,
            emendations=(
                Emendation(
                    "transposed_digits", proposed, 0.9, "8 and 5 changed places", ("order",)
                ),
                Emendation("amended", None, 0.1, "<b>an</b> amendment"),
            ),
            steps=("2850 - 2580 = 270", "270 / 10 = 27"),
        ),
        Finding("order", "agrees within rounding", "oil pressures ascend", ("l03", "l04", "n01")),
        Finding("twins", "agrees", "stated again on page 7", ("l05", "l12")),
        Finding("order", "agrees", "below the take-off speed", ("l02",)),
        Finding("plausible", "in doubt", "@a high drop", ("l11",), difference_u=1 / 3),
    ]


def sample_rulings() -> tuple[Ruling, ...]:
    """One ruling."""
    return (
        Ruling(1, "A. Reader", "2026-11-25T08:00:00Z", "f06", "accept", reason="seen in print"),
    )


def sample_table() -> LimitTable:
    """The sample as a limit table."""
    witnesses = sample_witnesses()
    return build_table(
        "Larkspur II <limits>",
        witnesses,
        sample_findings(witnesses),
        sample_rulings(),
        groups={"l01": "G1", "m01": "G1", "l02": "G2", "m02": "G2", "l03": "G3", "n01": "G3"},
        copy_text="s-manual",
        notes=("Larkspur II manual.pdf: page 9 has no text layer; nothing was read from it",),
    )


def main() -> None:
    """Write the samples of the current version."""
    from reconcile.publish.formats import write_every_data_format

    folder = Path(__file__).parent / SCHEMA_VERSION
    for path, _ in write_every_data_format(sample_table(), folder):
        print(path.name)


if __name__ == "__main__":
    main()
