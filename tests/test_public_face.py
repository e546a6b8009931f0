"""The names other programs may use, and what importing them costs."""

from __future__ import annotations

import subprocess
import sys

import pytest

import reconcile

HEAVY = ("pint", "pandas", "pdfplumber", "numpy", "scipy", "pypdfium2")


def test_exports_are_sorted_and_all_there() -> None:
    """The list of exports is sorted, complete, and every name can be had."""
    assert reconcile.__all__ == sorted(reconcile.__all__)
    assert set(reconcile.__all__) == {*reconcile._HOME, "__version__"}
    for name in reconcile.__all__:
        assert getattr(reconcile, name) is not None


def test_a_wrong_name_is_an_attribute_error() -> None:
    """A name the package does not have is reported as Python does."""
    with pytest.raises(AttributeError, match="no_such_name"):
        _ = reconcile.no_such_name


@pytest.mark.parametrize(
    "call",
    [
        "import reconcile",
        "from reconcile.entry import main; main(['--help'])",
        "from reconcile.entry import main; main(['figure', '--help'])",
        "from reconcile.entry import main; main(['--version'])",
        "from reconcile.entry import main; main(['figure', '+6 lb/sq.in. boost'])",
    ],
)
def test_nothing_heavy_is_imported(call: str) -> None:
    """Import, help, version and the one-figure command start without the heavy libraries."""
    script = f"import sys\n{call}\nprint([m for m in {HEAVY!r} if m in sys.modules])"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1] == "[]", done.stdout
