"""The window, and what is done instead where there is no screen."""

import shutil
from pathlib import Path

from app.bootstrap import has_screen, wanted_by_window, what_to_type
from app.commands.parser import Usage, my_name
from app.commands.say import say
from app.data import data_dir

FIRST_SAMPLE = "first-board.fwl"
"""The layout that a newcomer is shown."""


def open_window(path: Path | None) -> int:
    """Open the window, on a layout where one is named."""
    if not has_screen():
        raise Usage(
            "There is no screen here for the window; "
            f"use a command instead, such as: {my_name()} report FILE"
        )
    # Without them Qt would end the program, and name a library that is there.
    missing = [wanted for wanted in wanted_by_window() if not wanted.is_there()]
    if missing:
        has_apt = shutil.which("apt-get") is not None
        raise Usage(what_to_type(missing, has_apt=has_apt))
    from app.build import run_window

    return run_window(path)


def show_sample() -> int:
    """Open the window on a sample; with no screen, print its report and sheet."""
    sample = data_dir("sample_layouts") / FIRST_SAMPLE
    if has_screen():
        return open_window(sample)
    from app.commands.outputs import save_sheet
    from app.commands.report import print_report

    say(f"No screen here, so this is {sample.name} in text.\n")
    code = print_report(sample, as_json=False)
    say()
    save_sheet(sample, Path.cwd() / f"{sample.stem}.pdf")
    return code
