"""`sheet` and `netlist`: what the commands write."""

from datetime import date
from pathlib import Path

from app.commands.reading import examine, open_layout
from app.commands.say import say
from core.errors import FileAccessError


def save_sheet(path: Path, out: Path | None) -> int:
    """Write the wiring sheet of a file's layout; say where."""
    from core.sheet import Options, write_sheet

    target = _target(path, out, ".pdf")
    study, findings = examine(path)
    today = Options(date=date.today().isoformat())  # noqa: DTZ011 - as on the wall
    write_sheet(study, findings, target, options=today)
    say(f"The sheet is in {target}")
    return 0


def save_netlist(path: Path, out: Path | None) -> int:
    """Write the circuit of a file's layout as a SPICE deck; say where."""
    from core.analysis.examine import study_layout
    from core.sheet.deck import write_deck

    target = _target(path, out, ".cir")
    write_deck(study_layout(open_layout(path)), target)
    say(f"The circuit is in {target}")
    return 0


def _target(path: Path, out: Path | None, suffix: str) -> Path:
    """Return where to write, never over a layout.

    Raises
    ------
    FileAccessError
        The place is a layout file, or has the suffix of one.
    """
    target = out or Path(f"{path.stem}{suffix}")
    is_same = target.exists() and path.exists() and target.samefile(path)
    if is_same or target.suffix.lower() == ".fwl":
        raise FileAccessError(
            str(target), "that is a layout.", f"Name another file, such as x{suffix}."
        )
    return target
