"""All tools: what they are called, when they are offered, and how they begin."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from app.tools.desk import Desk
from app.tools.placing import breaker, crossing, probe, recipes, scale, span, stamp
from app.tools.selecting import resting
from app.tools.state import State
from app.tools.track import run, switching, winding
from app.tools.wiring import bus, drop

ToolStage = Literal["backdrop", "track", "power", "drops", "prove", "sheet"]

STAGES: tuple[ToolStage, ...] = (
    "backdrop",
    "track",
    "power",
    "drops",
    "prove",
    "sheet",
)


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool of the canvas.

    Attributes
    ----------
    id : str
        Its name inside the program.
    title : str
        What it is called on its button.
    hint : str
        What it is for, in one line.
    stages : tuple of str
        The stages of the job that offer it.
    shortcut : str
        The letter that takes it up.
    begin : callable
        Makes the state that it rests in, for a desk.
    """

    id: str
    title: str
    hint: str
    stages: tuple[ToolStage, ...]
    shortcut: str
    begin: Callable[[Desk], State]


_ALL = (
    Tool(
        "select",
        "Select",
        "Select, move, nudge and delete.",
        STAGES,
        "S",
        resting.Resting,
    ),
    Tool(
        "scale",
        "Scale",
        "Give the picture its scale by two points a known distance apart.",
        ("backdrop",),
        "M",
        scale.Waiting,
    ),
    Tool(
        "board",
        "Board",
        "Draw a baseboard.",
        ("backdrop",),
        "O",
        lambda desk: span.Waiting(desk, span.BOARD),
    ),
    Tool(
        "joist",
        "Joist",
        "Draw a joist, so that no drop is drilled into it.",
        ("backdrop",),
        "J",
        lambda desk: span.Waiting(desk, span.JOIST),
    ),
    Tool(
        "run",
        "Track",
        "Draw track: straights and curves, turnouts and joints.",
        ("track",),
        "R",
        run.Starting,
    ),
    Tool(
        "turnout",
        "Turnout",
        "Place a turnout on a track: to the left or right, wye, three-way, curved.",
        ("track",),
        "N",
        switching.Hovering,
    ),
    Tool(
        "crossing",
        "Crossing",
        "Lay a diamond or slip where two tracks cross.",
        ("track",),
        "X",
        crossing.Hovering,
    ),
    Tool(
        "turntable",
        "Turntable",
        "Place a turntable or traverser; track drawn up to its pit is a stall.",
        ("track",),
        "U",
        lambda desk: span.Waiting(desk, span.PIT),
    ),
    Tool(
        "helix",
        "Helix",
        "Place a helix: track that goes round several times and climbs.",
        ("track",),
        "H",
        winding.Hovering,
    ),
    Tool(
        "gap",
        "Gap",
        "Cut one or both rails.",
        ("track", "power"),
        "G",
        lambda desk: stamp.Hovering(desk, recipes.GAP),
    ),
    Tool(
        "opening",
        "Opening",
        "Mark a lift-out, a gate or the joint of a removable board.",
        ("track", "power"),
        "E",
        lambda desk: span.Waiting(desk, span.OPENING),
    ),
    Tool(
        "booster",
        "Booster",
        "Place a booster with its supply.",
        ("power",),
        "P",
        lambda desk: stamp.Hovering(desk, recipes.BOOSTER),
    ),
    Tool(
        "breaker",
        "Breaker",
        "Place a breaker, or a lamp that holds shorts back, and say what feeds it.",
        ("power",),
        "K",
        breaker.Hovering,
    ),
    Tool("bus", "Bus", "Draw a bus along its way.", ("power",), "B", bus.Starting),
    Tool(
        "strip",
        "Strip",
        "Place a terminal strip.",
        ("power", "drops"),
        "T",
        lambda desk: stamp.Hovering(desk, recipes.STRIP),
    ),
    Tool(
        "drop",
        "Drop",
        "Lead the rails down to a bus, strip or breaker.",
        ("drops",),
        "D",
        drop.Hovering,
    ),
    Tool(
        "train",
        "Train",
        "Put a train or a standing load on the track.",
        ("prove",),
        "L",
        lambda desk: stamp.Hovering(desk, recipes.TRAIN),
    ),
    Tool(
        "probe",
        "Probe",
        "Read volts, loop and short current at any point of track.",
        ("track", "power", "drops", "prove"),
        "V",
        probe.Hovering,
    ),
)

TOOLS: Mapping[str, Tool] = MappingProxyType({tool.id: tool for tool in _ALL})
"""Every tool by its id, in the order of the job."""
