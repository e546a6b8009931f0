"""The whole way through a dossier: read, check, join with the rulings.

Everything here is derived from the sources and the rulings, and can be thrown away and
made again; nothing is written.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from reconcile.dossier import Dossier
from reconcile.publish.rows import LimitTable, build_table
from reconcile.records import Figure, Finding, Ruling, Witness

Progress = Callable[[str], None]


def _silent(_: str) -> None:
    pass


@dataclass(frozen=True, slots=True)
class ReadDossier:
    """What was read: the witnesses, and the sources that failed, each with its sentence."""

    witnesses: tuple[Witness, ...]
    failures: tuple[tuple[str, str], ...]
    """(file, the error's sentence)."""

    @property
    def notes(self) -> tuple[str, ...]:
        """All notes, each with the file it belongs to."""
        return tuple(
            [f"{file} could not be read: {sentence}" for file, sentence in self.failures]
            + [f"{w.source.name}: {note}" for w in self.witnesses for note in w.notes]
        )


def read_dossier(dossier: Dossier, progress: Progress = _silent) -> ReadDossier:
    """Read all sources of a dossier; one that fails costs no other its result."""
    witnesses: list[Witness] = []
    failures = []
    for entry, outcome in dossier.witnesses():
        if isinstance(outcome, Witness):
            witnesses.append(outcome)
            progress(
                f"read {entry.file}: {len(outcome.figures)} figures, {len(outcome.limits)} limits"
            )
        else:
            failures.append((entry.file, outcome.sentence))
            progress(f"could not read {entry.file}: {outcome.sentence}")
    return ReadDossier(tuple(witnesses), tuple(failures))


def check_dossier(read: ReadDossier, progress: Progress = _silent) -> list[Finding]:
    """Run every check on what was read."""
    from reconcile.checks import check

    findings = check(read.witnesses)
    progress(f"checked: {len(findings)} findings")
    return findings


def apply_emendations(
    witnesses: tuple[Witness, ...], rulings: tuple[Ruling, ...]
) -> dict[str, Figure]:
    """Figures that rulings put in the place of what was read, by the id they replace.

    The person's reading is read as any figure is, in the unit, kind and reference form of
    the one it replaces unless it states its own.
    """
    wanted = [r for r in {r.target: r for r in rulings}.values() if r.decision == "emend"]
    if not wanted:
        return {}
    from dataclasses import replace

    from reconcile.reading import figure as read_figure

    parameter = {
        fid: limit.parameter for w in witnesses for limit in w.limits for fid in limit.figure_ids
    }
    figures = {fid: f for w in witnesses for fid, f in w.figures.items()}
    tradition = {fid: w.source.tradition for w in witnesses for fid in w.figures}
    emended = {}
    for ruling in wanted:
        old = figures.get(ruling.target)
        if old is None:
            continue
        new = read_figure(
            ruling.reading,
            tradition=tradition[old.id],
            parameter=parameter.get(old.id),
            unit=None if any(c.isalpha() for c in ruling.reading) else old.unit,
            reference_form=old.reference_form if old.kind == "pressure" else None,
        )
        emended[old.id] = replace(
            new,
            id=old.id,
            span=old.span,
            as_written=old.as_written,
            place=old.place,
            repairs=(*old.repairs, f"ruling {ruling.number}: reads {ruling.reading}"),
        )
    return emended


def make_table(dossier: Dossier, progress: Progress = _silent) -> LimitTable:
    """Read, check and join a dossier into its limit table."""
    from reconcile.checks import group_limits

    read = read_dossier(dossier, progress)
    findings = check_dossier(read, progress)
    rulings = dossier.rulings()
    lead = next((w.source.id for w in read.witnesses if w.source.role == "manual"), "")
    return build_table(
        dossier.title,
        list(read.witnesses),
        findings,
        rulings,
        groups=group_limits(read.witnesses),
        copy_text=lead,
        notes=read.notes,
        emended=apply_emendations(read.witnesses, rulings),
    )
