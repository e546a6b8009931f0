"""Which sources reproduce one print, so that their agreement proves a reading and no more."""

from __future__ import annotations

from collections.abc import Sequence

from reconcile.records import Source

COPY_ROLES = frozenset({"transcription", "transcript"})


def which_copies(one: Source, other: Source) -> int | None:
    """Which of two sources is a copy (0 or 1), where one is and the other is not."""
    copies = [s.role in COPY_ROLES for s in (one, other)]
    if copies[0] != copies[1]:
        return copies.index(True)
    for at, (source, model) in enumerate(((one, other), (other, one))):
        if source.of and source.of in (model.id, model.name):
            return None if source.role == "edition" else at
    return None


def is_of_one_print(one: Source, other: Source, sources: Sequence[Source]) -> bool:
    """Whether two sources go back to one print, or are not known to go back to two.

    Parameters
    ----------
    one, other : Source
    sources : sequence of Source
        All that are known, to follow "a copy of" through them.
    """
    if not {one.role, other.role} & COPY_ROLES and which_copies(one, other) is None:
        return False
    first, second = print_of(one, sources), print_of(other, sources)
    return first is None or second is None or first == second


def print_of(source: Source, sources: Sequence[Source]) -> str | None:
    """Id of the print whose words a source reproduces; None for a copy of nothing known."""
    seen = {source.id}
    while source.role != "edition" and (source.of or source.role in COPY_ROLES):
        parent = next((s for s in sources if source.of and source.of in (s.id, s.name)), None)
        if parent is None or parent.id in seen:
            return None if source.role in COPY_ROLES else source.id
        seen.add(parent.id)
        source = parent
    return source.id
