"""The solved case as a SPICE deck, for anyone to check with a circuit simulator."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from core.analysis.study import Study
from core.errors import FileAccessError
from core.network.circuit import Branch, Circuit

_GROUND = "0"

_LEAK_OHM = "1e6"
"""Beside a detector, so that what lies behind it never floats. [Ω]"""


def deck_text(study: Study, *, inductance: bool = True) -> str:
    """Return the circuit of a study as a SPICE deck with an operating point.

    Parameters
    ----------
    inductance : bool
        Whether inductors are written; at the operating point they are wire.

    Notes
    -----
    Only device cards of the SPICE language are used: R, L, V, I, B. Boosters stand
    at their direct-current worth; loads are current sources of what they draw in
    this case. A zero-volt source ties each island to node 0; nothing flows in it.
    A detector with a fixed drop is its law, no current until the drop stands across
    it either way: whether and how it conducts is left to the simulator.
    """
    circuit = study.circuit
    lines = [
        f"* {_plain(study.layout.settings.title)}, track wiring at load",
        "* volts, ohms, henries, amperes; one booster terminal an island is node 0",
        *_ties(study),
        *_sources(circuit),
        *_branches(study, inductance=inductance),
        *_loads(study),
        ".op",
        ".end",
    ]
    return "\n".join(lines) + "\n"


def write_deck(study: Study, path: Path, *, inductance: bool = True) -> None:
    """Write the deck of a study to a file.

    Raises
    ------
    FileAccessError
        The file could not be written.
    """
    try:
        path.write_text(deck_text(study, inductance=inductance), encoding="utf-8")
    except OSError as error:
        raise FileAccessError(
            str(path),
            f"the deck cannot be written ({error.strerror}).",
            "Choose another folder.",
        ) from error


def _ties(study: Study) -> Iterator[str]:
    islands, nodes = study.system.islands, study.circuit.nodes
    for number, reference in enumerate(islands.reference):
        node = int(reference)
        if node < 0:
            node = int((islands.label == number).argmax())
        yield f"Vtie{number} {nodes[node].name} {_GROUND} 0"


def _sources(circuit: Circuit) -> Iterator[str]:
    for number, source in enumerate(circuit.sources):
        plus = circuit.nodes[source.plus].name
        minus = circuit.nodes[source.minus].name
        yield f"Vsupply{number} inner{number} {minus} {source.volts!r}"
        yield f"Rsupply{number} inner{number} {plus} {source.ohm!r}"


def _branches(study: Study, *, inductance: bool) -> Iterator[str]:
    for number, branch in enumerate(study.circuit.branches):
        henry = branch.henry if inductance else 0.0
        card = _Card(number, branch.ohm, henry, branch.emf_v)
        yield from _branch(study.circuit, branch, card)


@dataclass(frozen=True, slots=True)
class _Card:
    """The figures of one branch: its number, Ω, H and fixed drop in V."""

    number: int
    ohm: float
    henry: float
    drop: float


def _branch(circuit: Circuit, branch: Branch, card: _Card) -> Iterator[str]:
    here, there = circuit.nodes[branch.tail].name, circuit.nodes[branch.head].name
    number = card.number
    if card.henry > 0.0:
        yield f"L{number} coil{number} {there} {card.henry!r}"
        there = f"coil{number}"
    if card.drop:
        across = f"v({here},{there})"
        past = f"max({across}-{card.drop!r},0)+min({across}+{card.drop!r},0)"
        yield f"Bdrop{number} {here} {there} I=({past})/{card.ohm!r}"
        yield f"Rleak{number} {here} {there} {_LEAK_OHM}"
        return
    yield f"R{number} {here} {there} {card.ohm!r}"


def _loads(study: Study) -> Iterator[str]:
    nodes, volts = study.circuit.nodes, study.source.volts
    for number, draw in enumerate(study.circuit.draws):
        amps = float(study.drawn.amps[number])
        if not amps > 0.0:
            continue
        high, low = draw.left, draw.right
        if volts[high] < volts[low]:
            high, low = low, high
        yield f"Iload{number} {nodes[high].name} {nodes[low].name} {amps!r}"


def _plain(text: str) -> str:
    """Return text as one line of printable ASCII; simulators read no more."""
    return "".join(c if " " <= c <= "~" else "?" for c in text) or "untitled"
