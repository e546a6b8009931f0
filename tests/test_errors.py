"""The error tree: shape, messages, pickling, exit codes."""

from __future__ import annotations

import inspect
import pickle

import pytest

from reconcile import errors
from reconcile.errors import ReconcileError

LEAVES = [
    kind
    for _, kind in inspect.getmembers(errors, inspect.isclass)
    if issubclass(kind, ReconcileError)
]


@pytest.mark.parametrize("kind", LEAVES)
def test_each_error_survives_pickling(kind: type[ReconcileError]) -> None:
    """An error crosses a process boundary with all its fields."""
    fault = kind("the page is torn", where="a.pdf, page 3", expected="a whole page", do="scan it")
    back = pickle.loads(pickle.dumps(fault))
    assert type(back) is kind
    assert (back.what, back.where, back.expected, back.do) == (
        "the page is torn",
        "a.pdf, page 3",
        "a whole page",
        "scan it",
    )
    assert str(back) == "a.pdf, page 3: the page is torn; expected a whole page; scan it."


@pytest.mark.parametrize("kind", LEAVES)
def test_each_error_is_drawn_in_the_tree(kind: type[ReconcileError]) -> None:
    """The drawing at the top of the module names every class."""
    assert errors.__doc__ is not None
    assert kind.__name__ in errors.__doc__


@pytest.mark.parametrize("kind", [k for k in LEAVES if k is not ReconcileError])
def test_each_error_is_a_builtin_too(kind: type[ReconcileError]) -> None:
    """Callers that know only Python's own errors can still catch ours."""
    builtin = (ValueError, LookupError, OSError, TypeError, ImportError)
    assert issubclass(kind, builtin)


def test_exit_codes_are_fixed() -> None:
    """The published exit codes never change their numbers."""
    assert {code.name: code.value for code in errors.ExitCode} == {
        "CLEAN": 0,
        "FINDINGS": 1,
        "BAD_ARGUMENTS": 2,
        "UNREADABLE_INPUT": 3,
        "MISSING_DEPENDENCY": 4,
    }
