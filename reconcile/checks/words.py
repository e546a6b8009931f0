"""Words the checks look for, from tables/checks/words."""

from __future__ import annotations

import re
from functools import cache

from reconcile.errors import UnknownTermError
from reconcile.reference import load_rows


@cache
def words(role: str) -> re.Pattern[str]:
    """One pattern for all words of a role, case ignored.

    Raises
    ------
    UnknownTermError
        No words have that role.
    """
    found = [row["pattern"] for row in load_rows("checks/words") if row["role"] == role]
    if not found:
        raise UnknownTermError(f"no words have the role {role!r}", where="tables/checks/words.csv")
    return re.compile("|".join(f"(?:{pattern})" for pattern in found), re.IGNORECASE)
