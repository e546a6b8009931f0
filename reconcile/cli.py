"""The command line: one command a stage, each a thin face of one function.

Nothing heavy is imported here; each command imports what it needs when it runs, so that
help and version come at once.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from reconcile.commands.output import Form
from reconcile.errors import ExitCode

app = typer.Typer(
    name="reconcile",
    help="Read the figures of old machine manuals, prove them, and issue verified limit tables.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    epilog="Exit codes: 0 clean, 1 findings, 2 bad arguments, 3 unreadable input, "
    "4 missing dependency. Not approved data: the type's approved documents, local "
    "rules and licensed engineers decide.",
)

FormOption = Annotated[Form, typer.Option("--format", "-f", help="How the answer is written.")]
TraditionOption = Annotated[
    str,
    typer.Option(
        help="Whose notation it is: british, american, "
        "german, soviet, french, italian, japanese; "
        "unknown lets the text decide."
    ),
]
FolderArgument = Annotated[Path, typer.Argument(help="Folder of the dossier.")]


def _version(wanted: bool) -> None:
    if wanted:
        import reconcile

        print(f"reconcile {reconcile.__version__}")
        raise typer.Exit


@app.callback()
def _root(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_version, is_eager=True, help="Print the version and stop."
        ),
    ] = False,
) -> None:
    pass


@app.command()
def figure(
    text: Annotated[
        str, typer.Argument(help='The figure with its words, e.g. "+6 lb/sq.in. boost".')
    ],
    tradition: TraditionOption = "unknown",
    parameter: Annotated[str, typer.Option(help="What it measures; overrules the words.")] = "",
    unit: Annotated[str, typer.Option(help="UCUM code; overrules the words.")] = "",
    reference_form: Annotated[
        str, typer.Option(help="absolute, gauge, fixed_datum, below_ambient, differential.")
    ] = "",
    datum: Annotated[
        str, typer.Option(help='Datum of boost: "101325 Pa", "14.7 lb/in2", "30 in.Hg".')
    ] = "",
    year: Annotated[int, typer.Option(help="Year of the paper; chooses period definitions.")] = 0,
    height: Annotated[str, typer.Option(help='Height of the ambient air, e.g. "10000 ft".')] = "",
    form: FormOption = Form.TABLE,
) -> None:
    """Look at one figure: what it is taken to mean and why, SI, uncertainty, equivalents."""
    from reconcile.commands import figure as command

    raise typer.Exit(
        command.run(
            text=text.strip(),
            tradition=tradition,
            parameter=parameter,
            unit=unit,
            reference_form=reference_form,
            datum=datum,
            year=year,
            height=height,
            form=form.value,
        )
    )


@app.command()
def new(
    folder: FolderArgument,
    files: Annotated[list[Path] | None, typer.Argument(help="Sources to copy into it.")] = None,
    title: Annotated[str, typer.Option(help="Title of the dossier.")] = "",
    tradition: TraditionOption = "unknown",
) -> None:
    """Make a dossier from files."""
    from reconcile.commands.output import note
    from reconcile.dossier import make_dossier

    dossier = make_dossier(folder, files or (), title=title, tradition=tradition)
    note(
        f"made {folder} with {len(dossier.entries)} sources; "
        f"their titles, editions and roles can be set in {folder / 'dossier.toml'}"
    )


@app.command()
def add(
    folder: FolderArgument,
    files: Annotated[list[Path], typer.Argument(help="Sources to copy into it.")],
    title: Annotated[str, typer.Option(help="Title of the paper.")] = "",
    edition: Annotated[str, typer.Option(help="Edition or amendment state.")] = "",
    date: Annotated[str, typer.Option(help="Date of the paper.")] = "",
    tradition: TraditionOption = "unknown",
    role: Annotated[
        str, typer.Option(help="manual, edition, transcription, transcript or paper.")
    ] = "manual",
    of: Annotated[str, typer.Option(help="File of the source this one copies or re-issues.")] = "",
    encoding: Annotated[str, typer.Option(help="Character encoding of a typed copy.")] = "",
) -> None:
    """Add sources to a dossier."""
    from reconcile.commands.output import note
    from reconcile.dossier import add_sources, open_dossier

    dossier = add_sources(
        open_dossier(folder),
        files,
        title=title,
        edition=edition,
        date=date,
        tradition=tradition,
        role=role,
        of=of,
        encoding=encoding,
    )
    note(f"{folder} now holds {len(dossier.entries)} sources")


@app.command()
def read(
    paths: Annotated[list[Path], typer.Argument(help="A dossier, or files to read.")],
    tradition: TraditionOption = "unknown",
    form: FormOption = Form.TABLE,
) -> None:
    """Read sources into figures and what they limit."""
    from reconcile.commands import stages

    raise typer.Exit(stages.read(paths, tradition, form))


@app.command()
def check(
    folder: FolderArgument,
    form: FormOption = Form.TABLE,
    every: Annotated[bool, typer.Option("--all", help="Show agreements too.")] = False,
) -> None:
    """Check a dossier's limits against each other and against plain arithmetic."""
    from reconcile.commands import stages

    raise typer.Exit(stages.check(folder, form, every))


@app.command()
def explain(
    folder: FolderArgument, finding: Annotated[int, typer.Argument(help="The finding's number.")]
) -> None:
    """Explain one finding step by step: inputs, formula, numbers, source."""
    from reconcile.commands import stages

    raise typer.Exit(stages.explain(folder, finding))


@app.command()
def compare(
    a: Annotated[str, typer.Argument(help="A figure with its words, or a file.")],
    b: Annotated[str, typer.Argument(help="The figure or file to set against it.")],
    context: Annotated[str, typer.Option(help="Plain words about the pair.")] = "",
    tradition: TraditionOption = "unknown",
    form: FormOption = Form.TABLE,
) -> None:
    """Compare two figures, or two sources."""
    from reconcile.commands import stages

    raise typer.Exit(stages.compare(a.strip(), b.strip(), context, tradition, form))


@app.command()
def rule(
    folder: FolderArgument,
    target: Annotated[str, typer.Argument(help="Id of the figure or limit.")],
    decision: Annotated[str, typer.Argument(help='accept, emend, reject or "leave open".')],
    who: Annotated[str, typer.Option(help="Who rules.")],
    reading: Annotated[str, typer.Option(help="The reading to adopt, with emend.")] = "",
    reason: Annotated[str, typer.Option(help="Why.")] = "",
) -> None:
    """Record a person's ruling; once this returns it is on the disk."""
    from reconcile.commands import stages

    raise typer.Exit(stages.rule(folder, target, decision, who, reading, reason))


@app.command()
def issue(folder: FolderArgument, form: FormOption = Form.TABLE) -> None:
    """Issue the limit table of a dossier, in every format, into its folder "made"."""
    from reconcile.commands import stages

    raise typer.Exit(stages.issue(folder, form))


@app.command()
def marks(
    folder: FolderArgument,
    gauge: Annotated[
        str, typer.Option(help="Slug of an ordinary gauge, or a TOML file that describes one.")
    ],
    parameter: Annotated[str, typer.Option(help='What is limited, e.g. "oil pressure".')],
    guard_band: Annotated[
        bool, typer.Option("--guard-band", help="Keep clear of each limit by the uncertainty.")
    ] = False,
    every: Annotated[
        bool, typer.Option("--all", help="Mark limits that are not verified too.")
    ] = False,
    set_values: Annotated[
        bool, typer.Option("--set-values", help="Mark values to set as well as limits.")
    ] = False,
    calibration: Annotated[
        Path | None, typer.Option(help="CSV with the gauge's reading, true, uncertainty.")
    ] = None,
    svg: Annotated[Path | None, typer.Option(help="File to draw the gauge into.")] = None,
    diameter_mm: Annotated[float, typer.Option(help="Diameter of the drawn dial [mm].")] = 80.0,
    strip: Annotated[bool, typer.Option("--strip", help="Draw a strip, not a dial.")] = False,
    form: FormOption = Form.TABLE,
) -> None:
    """Marks for a modern gauge: each limit in its unit, rounded to the safe side."""
    from reconcile.commands import marks as command

    raise typer.Exit(
        command.marks(
            folder,
            gauge=gauge,
            parameter=parameter,
            guard_band=guard_band,
            every=every,
            set_values=set_values,
            calibration=calibration,
            svg=svg,
            diameter_mm=diameter_mm,
            strip=strip,
            form=form,
        )
    )


@app.command()
def gauges(
    words: Annotated[
        str, typer.Argument(help="Part of a gauge's name or parameter; nothing for all.")
    ] = "",
    form: FormOption = Form.TABLE,
) -> None:
    """The ordinary gauges that marks can be made for."""
    from reconcile.commands import marks as command

    raise typer.Exit(command.gauges(words, form))


@app.command()
def readback(
    path: Annotated[Path, typer.Argument(help="A source, or a dossier for all of its sources.")],
    unit: Annotated[
        list[str] | None,
        typer.Option(help='Unit wanted, e.g. "bar", "in.Hg" or a UCUM code; may be repeated.'),
    ] = None,
    form: Annotated[
        str, typer.Option("--as", help="html, markdown, tei; srt or vtt for a timed transcript.")
    ] = "html",
    out: Annotated[
        Path | None, typer.Option(help="File to write, or folder for a dossier's.")
    ] = None,
    tradition: TraditionOption = "unknown",
) -> None:
    """Read a source back: its own words, each figure in units you choose beside it."""
    from reconcile.commands import readback as command

    raise typer.Exit(command.run(path, unit or [], form, out, tradition))


@app.command()
def profile(
    folder: Annotated[Path, typer.Argument(help="An issued dossier, or its profile.json.")],
    boost: Annotated[str, typer.Option(help='Operating point: e.g. "+8 lb/sq.in.".')] = "",
    engine_speed: Annotated[str, typer.Option(help='Operating point: e.g. "2,600 r.p.m.".')] = "",
    height: Annotated[str, typer.Option(help='Operating point: e.g. "10,000 ft".')] = "",
    value: Annotated[
        list[str] | None,
        typer.Option(help='Any other, e.g. "oil pressure=60 lb/sq.in."; may be repeated.'),
    ] = None,
    condition: Annotated[str, typer.Option(help='Look at one condition, e.g. "climb".')] = "",
    gear: Annotated[str, typer.Option(help="Supercharger gear: low or high.")] = "",
    fuel_grade: Annotated[str, typer.Option(help='Fuel grade, e.g. "100".')] = "",
    form: FormOption = Form.TABLE,
) -> None:
    """The verified limits of an issued dossier, or which of them bind at an operating point."""
    from reconcile.commands import profile as command

    raise typer.Exit(
        command.run(
            folder,
            boost=boost,
            engine_speed=engine_speed,
            height=height,
            values=value or [],
            condition=condition,
            gear=gear,
            fuel_grade=fuel_grade,
            form=form,
        )
    )


@app.command()
def demo(
    folder: Annotated[Path, typer.Argument(help="Folder to copy the demo into.")] = Path(
        "reconcile-demo"
    ),
) -> None:
    """Copy the built-in demo to a folder and run the whole job on it."""
    from reconcile.commands import stages

    raise typer.Exit(stages.demo(folder))


@app.command()
def atmosphere(
    height: Annotated[str, typer.Argument(help='Height with its unit, e.g. "18,000 ft".')],
    offset: Annotated[float, typer.Option(help="Day's departure from standard [K].")] = 0.0,
    geometric: Annotated[
        bool, typer.Option("--geometric", help="The height is geometric, not geopotential.")
    ] = False,
    form: FormOption = Form.TABLE,
) -> None:
    """The standard atmosphere at a height."""
    from reconcile.commands import tables

    raise typer.Exit(tables.atmosphere(height, offset, geometric, form))


@app.command()
def factors(
    words: Annotated[
        str, typer.Argument(help="Part of a unit's name, code or kind; nothing for all.")
    ] = "",
    form: FormOption = Form.TABLE,
) -> None:
    """The table of conversion factors, each with its source."""
    from reconcile.commands import tables

    raise typer.Exit(tables.factors(words, form))


_SIGNED = ("figure", "compare", "atmosphere")
"""Commands whose arguments may begin with a minus sign."""


def _shield(arguments: Sequence[str]) -> list[str]:
    """The arguments with a blank before each that is a negative number and no option.

    The framework takes "-200 m" for a bundle of options; none of ours begins with a digit.
    """
    arguments = list(arguments)
    if not arguments or arguments[0] not in _SIGNED:
        return arguments
    return [f" {a}" if re.match(r"-[\d.]", a) else a for a in arguments]


def run_app(arguments: Sequence[str]) -> int:
    """Run the command line and give its exit code."""
    try:
        app(args=_shield(arguments))
    except SystemExit as done:
        # The framework ends its own way; the entry point alone ends the process.
        return done.code if isinstance(done.code, int) else ExitCode.BAD_ARGUMENTS
    return ExitCode.CLEAN
