"""What one figure on its way means: unit, parameter, condition, bound, time and form."""

from __future__ import annotations

from fractions import Fraction

from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense


class Meaning:
    """What one draft means. A draft with no meaning is no figure."""

    __slots__ = (
        "bound", "candidates", "condition", "draft", "form", "parameter", "sense", "status",
        "subject", "time_limit", "twin", "unlimited",
    )  # fmt: skip

    def __init__(self, draft: Draft, sense: Sense, subject: str, parameter: str) -> None:
        self.draft = draft
        self.sense = sense
        self.subject = subject
        self.parameter = parameter
        self.condition = ""
        self.bound = "nominal"
        self.form = "none"
        self.time_limit: Fraction | None = None
        self.unlimited = False
        self.status = "read"
        self.twin: Meaning | None = None
        self.candidates: list[tuple[Fraction, str, float, str]] = []


def new_meaning(draft: Draft, sense: Sense, subject: str, parameter: str) -> Meaning:
    draft.sense, draft.kind = sense, sense.kind
    return Meaning(draft, sense, subject, parameter)
