"""The stages of the way through, as commands: read, check, explain, compare, rule, issue, demo."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from reconcile.commands.output import Form, note, progress, write_rows
from reconcile.errors import (
    DossierError,
    ExitCode,
    MissingSourceError,
    SourceError,
    UnknownTermError,
    UsageError,
)
from reconcile.records import Finding, Witness


def read(paths: Sequence[Path], tradition: str, form: Form) -> int:
    """Read a dossier or files; one row a figure."""
    from reconcile.commands.show import FIGURE_COLUMNS, figure_row
    from reconcile.witnesses import read_witness

    if len(paths) == 1 and (paths[0] / "dossier.toml").is_file():
        from reconcile.dossier import open_dossier
        from reconcile.work import read_dossier

        done = read_dossier(open_dossier(paths[0]), note)
        witnesses, failed = list(done.witnesses), bool(done.failures)
    else:
        witnesses, failed = [], False
        for path in paths:
            try:
                witnesses.append(read_witness(path, tradition=tradition))
            except SourceError as fault:
                note(f"reconcile: {fault.sentence}")
                failed = True
    for witness in witnesses:
        for remark in witness.notes:
            note(f"{witness.source.name}: {remark}")
    rows: list[dict[str, Any]] = []
    for witness in witnesses:
        limit_of = {fid: limit for limit in witness.limits for fid in limit.figure_ids}
        own = [figure_row(f, limit_of.get(f.id), witness.source) for f in witness.figures.values()]
        rows += own
        if own and form is Form.TABLE:
            # The source's name once over its figures leaves the columns their room.
            write_rows(
                map(_for_people, own), form,
                columns=FIGURE_COLUMNS, shown=_READ_SHOWN, title=witness.source.name,
            )  # fmt: skip
    if form is not Form.TABLE:
        write_rows(rows, form, columns=FIGURE_COLUMNS)
    statuses = Counter(row["status"] for row in rows)
    note(f"{len(rows)} figures: " + _counts(statuses, ("read", "repaired", "ambiguous", "unread")))
    if failed:
        return ExitCode.UNREADABLE_INPUT
    doubtful = statuses["ambiguous"] + statuses["unread"]
    return ExitCode.FINDINGS if doubtful else ExitCode.CLEAN


_READ_SHOWN = ("place", "as_written", "reads", "limits", "bound")


def _for_people(row: dict[str, Any]) -> dict[str, Any]:
    """A figure's row with its place, subject and doubt in few words."""
    if row["time_s"] is not None:
        minutes, seconds = divmod(int(row["time_s"]), 60)
        at = f"{minutes}:{seconds:02d}"
    else:
        at = f"{row['page']}:{row['line']}"
    doubt = "" if row["status"] == "read" else f" ({row['status']})"
    return {
        **row,
        "place": at,
        "reads": row["reads"] + doubt,
        "limits": ", ".join(part for part in (row["parameter"], row["condition"]) if part),
    }


def _counts(counts: Counter[str] | dict[str, int], names: Sequence[str]) -> str:
    return ", ".join(f"{counts.get(name, 0)} {name}" for name in names)


def _checked(folder: Path) -> tuple[list[Finding], bool]:
    from reconcile.dossier import open_dossier
    from reconcile.work import check_dossier, read_dossier

    done = read_dossier(open_dossier(folder), progress)
    return check_dossier(done), bool(done.failures)


def check(folder: Path, form: Form, every: bool) -> int:
    """Run the checks of a dossier; findings as rows."""
    from reconcile.commands.show import FINDING_COLUMNS, FINDING_SHOWN, finding_row

    findings, failed = _checked(folder)
    rows = [finding_row(f, n) for n, f in enumerate(findings, 1)]
    if form is Form.TABLE and not every:
        rows = [row for row in rows if row["verdict"] in ("contradicts", "in doubt")]
    write_rows(rows, form, columns=FINDING_COLUMNS, shown=FINDING_SHOWN)
    verdicts = Counter(f.verdict for f in findings)
    note(f"{len(findings)} findings: " + ", ".join(f"{n} {v}" for v, n in verdicts.most_common()))
    if failed:
        return ExitCode.UNREADABLE_INPUT
    bad = verdicts["contradicts"] + verdicts["in doubt"]
    return ExitCode.FINDINGS if bad else ExitCode.CLEAN


def explain(folder: Path, ordinal: int) -> int:
    """Print one finding's steps."""
    from reconcile.commands.show import proposal

    findings, _ = _checked(folder)
    if not 1 <= ordinal <= len(findings):
        raise UsageError(
            f"no finding {ordinal}",
            where=str(folder),
            expected=f"a number from 1 to {len(findings)}",
            do="list them with: reconcile check FOLDER --all",
        )
    finding = findings[ordinal - 1]
    print(f"{finding.check}: {finding.verdict}\n{finding.evidence}")
    for step in finding.steps:
        print(f"  - {step}")
    for emendation in finding.emendations:
        print(f"  proposed: {proposal(emendation)}")
    return ExitCode.CLEAN


def compare(a: str, b: str, context: str, tradition: str, form: Form) -> int:
    """Compare two figures, or two files."""
    from reconcile.commands.show import FINDING_COLUMNS, FINDING_SHOWN, finding_row

    if Path(a).is_file() or Path(b).is_file():
        for path in (a, b):
            if not Path(path).is_file():
                raise MissingSourceError(
                    "no such file",
                    where=path,
                    expected="two files, or two figures",
                    do="check the path",
                )
        from reconcile.checks import check as run_checks
        from reconcile.witnesses import read_witness

        witnesses: list[Witness] = [
            read_witness(a, tradition=tradition),
            read_witness(b, tradition=tradition),
        ]
        findings = [f for f in run_checks(witnesses) if f.check == "witnesses"]
    else:
        import reconcile

        findings = [
            reconcile.compare(
                reconcile.figure(a, tradition=tradition),
                reconcile.figure(b, tradition=tradition),
                context=context,
            )
        ]
    rows = [finding_row(f, n) for n, f in enumerate(findings, 1)]
    write_rows(rows, form, columns=FINDING_COLUMNS, shown=FINDING_SHOWN)
    bad = any(f.verdict in ("contradicts", "in doubt") for f in findings)
    return ExitCode.FINDINGS if bad else ExitCode.CLEAN


def rule(folder: Path, target: str, decision: str, who: str, reading: str, reason: str) -> int:
    """Record a ruling on a figure or limit that exists; an emendation is read first."""
    from reconcile.dossier import open_dossier
    from reconcile.emending import read_emendation, target_of
    from reconcile.measure.display import describe
    from reconcile.work import read_dossier

    dossier = open_dossier(folder)
    found = target_of(target, read_dossier(dossier).witnesses)
    if found is None:
        raise UnknownTermError(
            f"no figure or limit has the id {target!r}",
            where=str(folder),
            do="list the ids with: reconcile read FOLDER --format csv",
        )
    figure, _, witness = found
    taken = ""
    if decision == "emend" and reading.strip():
        new = read_emendation(reading, figure, witness.source.tradition)
        taken = f" to {describe(new.quantity)}"
    ruling = dossier.rule(target, decision, who=who, reading=reading, reason=reason)
    note(f"ruling {ruling.number} is recorded: {figure.as_written!r} ({target}), {decision}{taken}")
    return ExitCode.CLEAN


def issue(folder: Path, form: Form) -> int:
    """Issue every format of the dossier's limit table and say where the files are."""
    from reconcile.dossier import open_dossier
    from reconcile.publish import write_all
    from reconcile.work import make_table

    dossier = open_dossier(folder)
    table = make_table(dossier, progress)
    files = write_all(table, dossier.made, source_folder=dossier.root / "sources")
    write_rows(
        [{"file": str(path), "holds": holds} for path, holds in files],
        form,
        columns=("file", "holds"),
    )
    counts = table.count()
    note("limits: " + _counts(counts, tuple(counts)))
    bad = counts["contradicted"] + counts["in doubt"]
    return ExitCode.FINDINGS if bad else ExitCode.CLEAN


def demo(folder: Path) -> int:
    """Copy the demo and run the whole job on it, with a summary for a person."""
    import shutil

    from reconcile.dossier import open_dossier
    from reconcile.publish import write_all
    from reconcile.reference import tables_dir
    from reconcile.work import make_table

    if folder.exists() and any(folder.iterdir()):
        raise DossierError(
            "the folder is not empty",
            where=str(folder),
            do="name a new folder: reconcile demo FOLDER",
        )
    built_in = tables_dir() / "demo"
    folder.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(built_in / "dossier.toml", folder / "dossier.toml")
    shutil.copytree(built_in / "sources", folder / "sources")
    note(f"copied the demo to {folder}")
    dossier = open_dossier(folder)
    table = make_table(dossier, note)
    files = write_all(table, dossier.made, source_folder=dossier.root / "sources")
    from reconcile.commands.summary import write_summary

    write_summary(table, files)
    # The demo is built to hold faults; finding them is its success.
    return ExitCode.CLEAN
