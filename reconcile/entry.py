"""The installed command's entry point.

Looking at one figure is the command people repeat all day, so it starts without the
command-line framework, whose import alone takes longer than the answer; every other
command, and every call this parser does not know, goes to `reconcile.cli`.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable, Sequence
from typing import Any


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line `argv` (default the process's own); return the exit code."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    if argv is None and arguments[:1] == ["figure"]:
        gc.disable()
    from reconcile.errors import ExitCode, ReconcileError

    try:
        if arguments[:1] == ["figure"]:
            from reconcile.commands import figure

            options = figure.parse_plain(arguments[1:])
            if options is not None:
                return _at_once(argv is None, figure.run, options)
        gc.enable()
        from reconcile.cli import run_app

        return run_app(arguments)
    except ReconcileError as fault:
        print(f"reconcile: {fault.sentence}", file=sys.stderr)
        return fault.exit_code
    except BrokenPipeError:
        # The reader of our output has had enough (`| head`); not our fault, nor theirs.
        sys.stderr.close()
        return ExitCode.CLEAN
    except KeyboardInterrupt:
        print("reconcile: stopped; nothing acknowledged is lost.", file=sys.stderr)
        return 130


def _at_once(alone: bool, run: Callable[..., int], options: dict[str, Any]) -> int:
    """Run a command that is over before there is anything to collect.

    Looking for dead cycles while starting, and once more at the end, takes a fifth of the
    command's time; a process that ends with it can do without.
    """
    try:
        return run(**options)
    finally:
        if alone:
            gc.freeze()


if __name__ == "__main__":
    sys.exit(main())
