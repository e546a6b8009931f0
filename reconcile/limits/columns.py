"""Figures in the columns of a table: units by heading, and what the whole column agrees on."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from reconcile.limits.context import Context
from reconcile.limits.decks import lone_unit
from reconcile.limits.headings import (
    figures_in,
    label_heads,
    own_headings,
    paired_subject,
    stated_units,
    unit_of,
)
from reconcile.limits.hung import hung_units
from reconcile.limits.senses import Choice, choose_sense
from reconcile.limits.terms import labelled_parameter, subject_kinds
from reconcile.notation.drafts import Draft
from reconcile.notation.grid import Grid, GridCell
from reconcile.notation.lexicon import Sense
from reconcile.notation.values import COMPOUNDS

if TYPE_CHECKING:
    from reconcile.limits.meaning import Meaning


class Headed(NamedTuple):
    """What headings make of a bare number."""

    sense: Sense
    subject: str
    parameter: str
    times: int
    """What it is to be multiplied by."""


def headed(ctx: Context, k: int, choices: list[Choice]) -> Headed | None:
    """What the headings state of a bare number, or None."""
    stated = stated_units(ctx, k)
    if stated is None:
        return None
    senses = hung_units(ctx, k, unit_of(ctx, k, stated))
    subject = paired_subject(ctx, k)
    if subject and not {sense.kind for sense in senses} & set(subject_kinds().get(subject, ())):
        return None
    plain = senses if stated.where == "row" else _plain_senses(ctx, k, senses)
    sense, subject, parameter, _ = choose_sense(ctx, k, plain, choices)
    place = ctx.cell_of[k]
    if sense.kind == "mass" and place is not None and not _named_over(ctx, *place, subject):
        parameter = "weight"  # "lb." over the rows "Fuel", "Oil"
    if not subject and place is not None:
        parameter = _by_labels(ctx, place[0], sense.kind) or parameter
    return Headed(sense, subject, parameter, stated.times)


def _named_over(ctx: Context, grid: Grid, cell: GridCell, subject: str) -> bool:
    """Whether headings over a cell's column name a subject, and not its row alone."""
    spans = own_headings(ctx, grid, cell)
    return any(s.value == subject for span in spans for s in ctx.spots_in("subject", span))


def _plain_senses(ctx: Context, k: int, senses: tuple[Sense, ...]) -> tuple[Sense, ...]:
    """`senses` without those that only a subject in the headings over a column can call up.

    "lb." over a column is a pressure where the column, or the table, is said to hold
    pressures; that a row is one of oil is not enough.
    """
    place = ctx.cell_of[k]
    if place is None or len({sense.kind for sense in senses}) < 2:
        return senses
    grid, cell = place
    spans = [*own_headings(ctx, grid, cell), *cell.row]
    if grid.caption is not None:
        spans.append(grid.caption)
    said = {spot.value for span in spans for spot in ctx.spots_in("generic", span)}
    named = any(ctx.spots_in("subject", span) for span in own_headings(ctx, grid, cell))
    if named or any(sense.kind in said for sense in senses):
        return senses
    return tuple(sense for sense in senses if sense.rank == 1) or senses


def _by_labels(ctx: Context, grid: Grid, kind: str) -> str:
    """What a column measures whose heading names no more than its kind, by what the rows are.

    In a table by height, "Pressure" and "Temp." are those of the air.
    """
    for span in label_heads(ctx, grid):
        for spot in ctx.spots_in("subject", span):
            parameter = labelled_parameter(spot.value, kind)
            if parameter:
                return parameter
    return ""


def unit_of_column(ctx: Context, k: int, meanings: Sequence[Meaning | None]) -> Sense | None:
    """The unit printed beside other figures of draft `k`'s column, if there is only one."""
    place = ctx.cell_of[k]
    if place is None:
        return None
    grid, cell = place
    key = (f"column {cell.at[1]}", id(grid))
    if key not in ctx.memo:
        first, last = (bisect_left(ctx.draft_starts, x) for x in ctx.token_range(grid.span))
        found = {
            meaning.sense.unit: meaning.sense
            for m in range(first, last)
            if ctx.drafts[m].senses
            and (meaning := meanings[m]) is not None
            and (there := ctx.cell_of[m]) is not None
            and there[0] is grid
            and there[1].at[1] == cell.at[1]
        }
        ctx.memo[key] = next(iter(found.values())) if len(found) == 1 else None
    shared: Sense | None = ctx.memo[key]
    return shared


def noted(ctx: Context, k: int, meanings: Sequence[Meaning | None]) -> Meaning | None:
    """The figure whose note opens with the bare number `k`: "* 240 before Mod. 12"."""
    draft = ctx.drafts[k]
    found = _notes(ctx).get(draft.i)
    if found is None:
        return None
    grid, mark = found
    first, last = (bisect_left(ctx.draft_starts, x) for x in ctx.token_range(grid.span))
    for m in range(first, last):
        place, other = ctx.cell_of[m], meanings[m]
        if other is None or place is None or mark not in place[1].note.split(" "):
            continue
        if _of_like_size(draft, other.draft):
            return other
    return None


def _notes(ctx: Context) -> dict[int, tuple[Grid, str]]:
    """Tables and their note marks, by the token that the note begins with."""
    found: dict[int, tuple[Grid, str]] | None = ctx.memo.get(("notes", 0))
    if found is None:
        found = {
            ctx.token_range(span)[0]: (grid, mark)
            for grid in ctx.grids
            for mark, span in grid.notes.items()
        }
        ctx.memo["notes", 0] = found
    return found


def _of_like_size(a: Draft, b: Draft) -> bool:
    if a.value is None or b.value is None or a.value * b.value <= 0:
        return False
    return Fraction(1, 2) <= a.value / b.value <= 2


def join_compounds(ctx: Context, meanings: list[Meaning | None]) -> None:
    """Make one figure of a row's cwt., qrs. and lb., each printed in a column of its own."""
    for k, meaning in enumerate(meanings):
        place = ctx.cell_of[k]
        if meaning is None or place is None or ctx.drafts[k].senses:
            continue
        m = k + 1
        unit = _lone_unit(ctx, k, *place)
        if not unit:
            continue
        step = Fraction(1)
        while unit and m < len(meanings):
            there = ctx.cell_of[m]
            if there is None or there[0] is not place[0] or there[1].at[0] != place[1].at[0]:
                break
            part = _lone_unit(ctx, m, *there)
            size = COMPOUNDS.get((unit, part))
            number = ctx.drafts[m].nominal
            if size is None or number is None or meaning.draft.nominal is None:
                break
            if number * size >= 1 or there[1].at[1] != place[1].at[1] + m - k:
                break
            step *= size
            _add(meaning, unit, number * step, step, ctx.drafts[m])
            meanings[m] = None
            unit, m = part, m + 1


def _add(meaning: Meaning, unit: str, part: Fraction, step: Fraction, last: Draft) -> None:
    draft = meaning.draft
    if draft.nominal is not None:
        draft.nominal += part
    draft.resolution = step * (last.resolution or 1)
    draft.end = last.end


def _lone_unit(ctx: Context, k: int, grid: Grid, cell: GridCell) -> str:
    """The unit that is all there is over a cell with one plain number; "" if there is more."""
    if ctx.drafts[k].senses or ctx.drafts[k].lo is not None or len(figures_in(ctx, k, cell)) > 1:
        return ""
    path = ctx.column_path(grid, cell)
    found: str | None = ctx.memo.get(("lone", path))
    if found is None:
        found = ctx.memo["lone", path] = _unit_alone(ctx, path)
    return found


def _unit_alone(ctx: Context, path: tuple[tuple[int, int], ...]) -> str:
    if not path:
        return ""
    units = (sense.unit for sense in lone_unit(ctx, path[-1]))
    return next((unit for unit in units if any(unit in pair for pair in COMPOUNDS)), "")
