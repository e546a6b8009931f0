"""A person's reading of a figure, taken to the letter or refused.

What a person rules is not a scan: nothing in it is repaired, supposed or chosen. A reading
that does not say one value of the figure's own kind is refused when it is made, with what
was expected, so that issuing never meets it.
"""

from __future__ import annotations

from dataclasses import replace

from reconcile.errors import ReconcileError, RefusedRulingError
from reconcile.measure.display import describe
from reconcile.measure.units import unit_row
from reconcile.reading import figure as read_figure
from reconcile.records import Figure, Limit, Ruling, Witness


def read_emendation(reading: str, old: Figure, tradition: str = "unknown") -> Figure:
    """The figure that `reading` puts in the place of `old`.

    Parameters
    ----------
    reading : str
        The value to adopt; a bare number stands in the old figure's unit.
    old : Figure
        The figure ruled on; the new one keeps its reference form unless it had none known.
    tradition : str
        Of the source, for its gallons and number marks.

    Returns
    -------
    figure : Figure
        Of the old figure's id and place.

    Raises
    ------
    RefusedRulingError
        The reading is not one plain value of the same kind of quantity.
    """
    where = f"reading {reading!r}"
    bare = not any(c.isalpha() or c in "°\"'%" for c in reading)
    form = old.reference_form if old.reference_form not in ("none", "unknown") else None
    try:
        new = read_figure(
            reading, tradition=tradition, unit=old.unit if bare and old.unit else None
        )
        if form is not None and new.kind == old.kind:
            new = read_figure(
                reading,
                tradition=tradition,
                unit=old.unit if bare else None,
                reference_form=form,
            )
    except ReconcileError as fault:
        raise RefusedRulingError(
            fault.what,
            where=where,
            expected="one value, such as '80 lb./sq. in.'",
            do="give the number with its unit",
        ) from None
    if new.as_written.strip(" .") != reading.strip(" ."):
        raise RefusedRulingError(
            f"only {new.as_written!r} of it is a figure",
            where=where,
            expected="the figure alone",
            do="leave the other words out",
        )
    if old.unit and unit_row(old.unit, kind=old.kind).si_unit != new.quantity.row.si_unit:
        raise RefusedRulingError(
            f"it is {describe(new.quantity)}, and the figure is a "
            f"{old.kind.replace('_', ' ')} in {unit_row(old.unit).symbol}",
            where=where,
            expected="a value of the same kind",
            do="reject the figure instead, if its kind was read wrongly",
        )
    if new.status != "read":
        why = "; ".join(new.repairs) or "it can be read in more than one way"
        raise RefusedRulingError(
            f"not plain: {why}",
            where=where,
            expected="a reading that needs no mending",
            do="write the number and its unit in full",
        )
    return replace(
        new,
        id=old.id,
        span=old.span,
        as_written=old.as_written,
        place=old.place,
        parameter=old.parameter,
        condition=old.condition,
    )


def target_of(
    target: str, witnesses: tuple[Witness, ...]
) -> tuple[Figure, Limit | None, Witness] | None:
    """The figure a ruling's target names (a limit stands for its first figure), or None."""
    for witness in witnesses:
        if target in witness.figures:
            limit = next((m for m in witness.limits if target in m.figure_ids), None)
            return witness.figures[target], limit, witness
        for limit in witness.limits:
            if limit.id == target:
                return witness.figures[limit.figure_ids[0]], limit, witness
    return None


def apply_emendations(
    witnesses: tuple[Witness, ...], rulings: tuple[Ruling, ...]
) -> tuple[dict[str, Figure], tuple[str, ...]]:
    """Figures that rulings put in the place of what was read, by the id they replace.

    Returns
    -------
    emended : dict of str to Figure
    notes : tuple of str
        Rulings that could not be applied, each with its number and why. Such a row is
        issued as not proved; the other rulings stand.
    """
    emended: dict[str, Figure] = {}
    notes = []
    for ruling in {r.target: r for r in rulings}.values():
        if ruling.decision != "emend":
            continue
        found = target_of(ruling.target, witnesses)
        if found is None:
            notes.append(f"ruling {ruling.number} names {ruling.target}, which is no longer there")
            continue
        old, _, witness = found
        try:
            new = read_emendation(ruling.reading, old, witness.source.tradition)
        except RefusedRulingError as fault:
            notes.append(f"ruling {ruling.number} on {ruling.target} was not applied: "
                         f"{fault.sentence}")  # fmt: skip
            continue
        said = f"ruling {ruling.number}: reads {ruling.reading}"
        emended[old.id] = replace(new, repairs=(*old.repairs, said))
    return emended, tuple(notes)
