"""Where the files that come with the program lie."""

from pathlib import Path


def data_dir(name: str) -> Path:
    """Return the folder of that name: inside the package, or in the checkout."""
    here = Path(__file__).resolve().parent
    packed = here / "_data" / name
    return packed if packed.is_dir() else here.parent / name
