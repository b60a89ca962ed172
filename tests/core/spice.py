"""Ask the circuit simulator of Debian's package ngspice for a second opinion."""

import subprocess
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Values = dict[str, NDArray[np.complex128]]


def run_deck(ngspice: str, deck: str, analysis: str, folder: Path) -> Values:
    """Run a deck with another analysis and return every vector, by lower-case name.

    Parameters
    ----------
    analysis : str
        Simulator command such as "op", "ac lin 1 1000 1000" or
        "tran 10n 2m 1m 10n".
    """
    raw = folder / "out.raw"
    control = [
        ".control",
        "set filetype=ascii",
        "set numdgt=15",
        analysis,
        f"write {raw}",
        "quit",
        ".endc",
    ]
    body = [line for line in deck.splitlines() if line not in (".op", ".end")]
    path = folder / "deck.cir"
    path.write_text("\n".join([*body, *control, ".end"]) + "\n")
    done = subprocess.run(
        [ngspice, "-b", str(path)],
        check=False,
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert raw.exists(), done.stdout + done.stderr
    return read_raw(raw)


def read_raw(path: Path) -> Values:
    """Return the vectors of a raw file in its ASCII form."""
    head, _, body = path.read_text().partition("Values:\n")
    count = int(_field(head, "No. Variables:"))
    points = int(_field(head, "No. Points:"))
    table = head.partition("Variables:\n")[2].splitlines()[:count]
    names = [line.split()[1].lower() for line in table]
    numbers = [_number(text) for text in body.split()]
    # Each point begins with its own number, which is not a value.
    rows = np.array(numbers).reshape(points, count + 1)[:, 1:]
    return dict(zip(names, rows.T, strict=True))


def _field(head: str, name: str) -> str:
    return next(
        line.removeprefix(name) for line in head.splitlines() if line.startswith(name)
    )


def _number(text: str) -> complex:
    if "," in text:
        real, imaginary = text.split(",")
        return complex(float(real), float(imaginary))
    return complex(float(text))
