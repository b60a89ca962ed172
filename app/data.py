"""Where the files are that come with the program: samples, fonts, icons."""

from pathlib import Path

_HERE = Path(__file__).resolve().parent


def data_dir(name: str) -> Path:
    """Return the folder of that name, in an installed program or a checkout."""
    packed = _HERE / "_data" / name
    return packed if packed.is_dir() else _HERE.parent / name


def first_sample() -> Path:
    """Return the layout that a newcomer is shown."""
    return data_dir("sample_layouts") / "first-board.fwl"
