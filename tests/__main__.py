"""`python3 -m tests`: set everything up, then run the tests.

The short form leaves out what is marked slow; other arguments go to pytest;
`--all` is what CI runs: lint, types, import contracts and every test. No screen is
needed: windows open in Qt's offscreen mode, and one on a screen kept in memory.
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence

from app.bootstrap import Bootstrap, repository, wanted_by_tests

CHECKS = (
    ("-m", "ruff", "check", "."),
    ("-m", "ruff", "format", "--check", "."),
    ("-m", "mypy"),
    # The import contracts have no `python -m` form.
    ("-c", "from importlinter.cli import lint_imports as lint; exit(lint())"),
)
"""What --all runs before the tests, each after `python`."""


def main(arguments: Sequence[str]) -> int:
    """Run the tests, and with --all everything before them."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    if shutil.which("apt-get") and os.geteuid() == 0:
        # Everything was installed a moment ago, so nothing has a reason to skip.
        os.environ["FEEDERWRIGHT_SKIP_NOTHING"] = "1"
    pytest = ["-m", "pytest", "-q"]
    if "--all" not in arguments:
        return _python([*pytest, "-m", "not slow", *arguments])
    # On all processors: the whole suite is some ten minutes of work for one.
    whole = [*pytest, "-n", "auto", *(a for a in arguments if a != "--all")]
    failed = [step for step in (*CHECKS, whole) if _step(step)]
    for step in failed:
        print("FAILED: python", *step)
    return int(bool(failed))


def _step(words: Sequence[str]) -> int:
    print("$ python", *words, flush=True)
    return _python(words)


def _python(words: Sequence[str]) -> int:
    return subprocess.run([sys.executable, *words], check=False).returncode


if __name__ == "__main__":
    Bootstrap(repository()).enter("tests", wanted_by_tests())
    raise SystemExit(main(sys.argv[1:]))
