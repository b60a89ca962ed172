"""`python3 -m app`, and what the installed command `feederwright` starts."""

import os
import sys


def main() -> int:
    """Do what the command line asks for; return the exit code."""
    _calm_blas()
    from app.commands.run import run_command

    return run_command(sys.argv[1:])


def main_here() -> int:
    """Do the same from a checkout, where no argument at all means: show me."""
    _calm_blas()
    from app.commands.run import run_command

    return run_command(sys.argv[1:] or ["--sample"])


def _calm_blas() -> None:
    """Keep numpy to one thread, before it is imported.

    Our matrices are too small for more: the others would only spin, and the window
    needs the processor.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


if __name__ == "__main__":
    from app.bootstrap import Bootstrap, repository, wanted_by_app

    Bootstrap(repository()).enter("app", wanted_by_app())
    raise SystemExit(main_here())
