"""Times of cranking and resting end where the starter is no longer spoken of."""

from __future__ import annotations

import pytest

from reconcile.reading import read_text


@pytest.mark.parametrize(
    ("text", "named"),
    [
        (
            "don't crank her more than twenty seconds then wait thirty\n"
            "take off twenty nine hundred plus six and a half five minutes",
            ["starter operating time", "starter rest time", "time limit"],
        ),
        (
            "Crank for 20 secs. at most, wait 30 secs. Climb at 2,600 r.p.m. for 1 hour.",
            ["starter operating time", "starter rest time", "time limit"],
        ),
        ("Wait 30 secs. between attempts.", ["starter rest time"]),
    ],
)
def test_a_time_under_a_rating_is_a_limit(text: str, named: list[str]) -> None:
    """However lately the starter was named, a rating's time is a time limit."""
    reading = read_text(text, "british")
    kinds = {figure.id: figure.kind for figure in reading.figures}
    times = [limit.parameter for limit in reading.limits if kinds[limit.figure_ids[0]] == "time"]
    assert times == named
