"""The whole way through a dossier: read, check, join with the rulings.

Everything here is derived from the sources and the rulings, and can be thrown away and
made again; nothing is written.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from reconcile.dossier import Dossier
from reconcile.publish.rows import LimitTable, build_table
from reconcile.records import Finding, Witness

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


def make_table(dossier: Dossier, progress: Progress = _silent) -> LimitTable:
    """Read, check and join a dossier into its limit table."""
    from reconcile.checks import group_limits
    from reconcile.emending import apply_emendations

    read = read_dossier(dossier, progress)
    findings = check_dossier(read, progress)
    rulings = dossier.rulings()
    emended, refused = apply_emendations(read.witnesses, rulings)
    lead = next((w.source.id for w in read.witnesses if w.source.role == "manual"), "")
    return build_table(
        dossier.title,
        list(read.witnesses),
        findings,
        rulings,
        groups=group_limits(read.witnesses),
        copy_text=lead,
        notes=(*read.notes, *refused),
        emended=emended,
    )
