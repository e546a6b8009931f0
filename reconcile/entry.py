"""The installed command's entry point.

Looking at one figure is the command people repeat all day, so it starts without the
command-line framework, whose import alone takes longer than the answer; every other
command, and every call this parser does not know, goes to `reconcile.cli`.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line `argv` (default the process's own); return the exit code."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    from reconcile.errors import ExitCode, ReconcileError

    try:
        if arguments[:1] == ["figure"]:
            from reconcile.commands import figure

            options = figure.parse_plain(arguments[1:])
            if options is not None:
                return figure.run(**options)
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


if __name__ == "__main__":
    sys.exit(main())
