"""What the sample layouts are made of; run as a module it writes their files.

python -m tests.samples.build
"""

from collections.abc import Callable, Iterable
from pathlib import Path

from core.layout.layout import Layout
from core.layout.parts import Part
from core.layout.storage.write import backup_path, write_layout
from tests.samples.dapplecombe import dapplecombe, dapplecombe_faulty
from tests.samples.fennimarsh import fennimarsh, fennimarsh_faulty
from tests.samples.lorrimoor import lorrimoor, lorrimoor_faulty
from tests.samples.orrinside import orrinside, orrinside_faulty, orrinside_one_feed
from tests.samples.tansyford import tansyford
from tests.samples.thistlewick import thistlewick, thistlewick_faulty
from tests.samples.wulfenmoor import (
    wulfenmoor,
    wulfenmoor_end_fed,
    wulfenmoor_faulty,
)

FOLDER = Path(__file__).parents[2] / "sample_layouts"

SAMPLES: dict[str, Callable[[], Iterable[Part]]] = {
    "first-board": tansyford,
    "dapplecombe-sidings": dapplecombe,
    "dapplecombe-sidings-faults": dapplecombe_faulty,
    "fennimarsh-loops": fennimarsh,
    "fennimarsh-loops-faults": fennimarsh_faulty,
    "lorrimoor-shed": lorrimoor,
    "lorrimoor-shed-faults": lorrimoor_faulty,
    "orrinside-quay": orrinside,
    "orrinside-quay-one-feed": orrinside_one_feed,
    "orrinside-quay-faults": orrinside_faulty,
    "thistlewick-junction": thistlewick,
    "thistlewick-junction-faults": thistlewick_faulty,
    "wulfenmoor-regional": wulfenmoor,
    "wulfenmoor-regional-end-fed": wulfenmoor_end_fed,
    "wulfenmoor-regional-faults": wulfenmoor_faulty,
}
"""The parts of each sample, by the name of its file."""


def build_sample(name: str) -> Layout:
    """Return a sample as its builder makes it."""
    return Layout({part.id: part for part in SAMPLES[name]()})


def main() -> None:
    """Write every sample anew."""
    for name in SAMPLES:
        path = FOLDER / f"{name}.fwl"
        write_layout(build_sample(name), path)
        backup_path(path).unlink(missing_ok=True)


if __name__ == "__main__":
    main()
