"""What the joint or connector behind a branch of the circuit is called."""

from core.layout.layout import Layout
from core.layout.openings import Sections
from core.layout.parts import (
    Bus,
    Crossing,
    Drop,
    Inline,
    Part,
    Strip,
    ToStrip,
    TrackJoint,
    TrackRun,
    Turnout,
)
from core.materials.joints import Joint, joint
from core.network.circuit import Branch, BranchKind

_MADE = ("soldered", "blade", "screw")
"""What turnouts and crossings are made with beside the joint they name."""


class JointNames:
    """Names of joints, for questions about many branches."""

    def __init__(self, layout: Layout) -> None:
        self._layout = layout
        self._sections = Sections(layout)

    def of(self, branch: Branch) -> str:
        """Return what a joint, contact or connector is called."""
        part = self._layout.parts[branch.part]
        if isinstance(part, Drop):
            return self._of_drop(part)
        if branch.kind is BranchKind.JOINT:
            return _alike(branch, tuple(joint(n) for n in (*_named(part), *_MADE)))
        ends: tuple[object, ...] = ()
        if isinstance(part, Bus):
            ends = (part.start, part.end)
        elif isinstance(part, Inline):
            ends = (part.feed, part.other)
        strips = [to for to in ends if isinstance(to, ToStrip)]
        held = [joint(self._strip(to)) for to in strips]
        return _alike(branch, (*held, joint("solder-joint"), joint("screw")))

    def _of_drop(self, drop: Drop) -> str:
        contact = drop.contact
        if isinstance(drop.to, ToStrip):
            contact = self._strip(drop.to)
        opening = self._sections.of(drop.on)
        plug = f" and {joint(opening.plug).label}" if opening is not None else ""
        return joint(contact).label + plug

    def _strip(self, to: ToStrip) -> str:
        strip = self._layout.get(to.part, Strip)
        return strip.contact if strip is not None else "screw"


def _named(part: Part) -> tuple[str, ...]:
    if isinstance(part, TrackRun | TrackJoint | Turnout | Crossing):
        return (part.joint,)
    return ()


def _alike(branch: Branch, kinds: tuple[Joint, ...]) -> str:
    """Return the name of the kind of just that resistance; else of the nearest."""
    return min(kinds, key=lambda k: abs(k.ohm - branch.ohm)).label
