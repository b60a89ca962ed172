"""The cautions: short, calm, each with its reason.

They advise and explain; nothing here claims to meet any rule. Whatever touches
the mains side is for a licensed electrician and local code.

Sources
-------
.. [1] NEM 609, electrical safety of model railways (as summed up in needs 6).
.. [2] Common practice of builders, no source.
"""

from core.layout.parts import Booster, Inline
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.table import Column, Row, lay_table

TITLE = "Before you begin: cautions"

_CAUTIONS = (
    (
        (
            "Mains: bought, enclosed, approved supplies only. No open mains below the "
            "layout."
        ),
        (
            "Mains can kill through one loose strand. A licensed electrician and local "
            "code decide everything on that side, residual-current protection included."
        ),
    ),
    (
        (
            "One marked switch turns the whole layout off and leaves the room lights "
            "on. No plug strip on a plug strip; unroll cable drums."
        ),
        (
            "Whoever smells smoke must find it at once and see the way out. Coiled and "
            "chained leads grow hot."
        ),
    ),
    (
        (
            "Mains and layout wires run in separate bundles. No mains plug on a "
            "low-voltage wire, ever."
        ),
        "One day somebody plugs it in.",
    ),
    (
        "Never join the outputs of two supplies, neither in a row nor side by side.",
        "One feeds back through the other and leaves a bare plug pin live.",
    ),
    (
        "A fuse or breaker before the thinnest wire, small enough for that wire.",
        (
            "Low voltage is not low heat: 5 A at 15 V is 75 W, three small soldering "
            "irons. A branch in 0.14 mm² wants its own 1.5 A."
        ),
    ),
    (
        "Where a coin across the rails does not trip the breaker, run no trains.",
        "The same current will heat a wheel or a blade until something melts.",
    ),
    (
        "Switch off and unplug before you go below. Rings and watches off.",
        "A ring across two screws glows before you can pull it away.",
    ),
    (
        (
            "Solder beside the joint, never lying under it. Eye protection, long "
            "sleeves, an iron stand that cannot fall."
        ),
        "Solder and wire ends drop on whatever is below.",
    ),
    (
        "Move the fume away from your face. Wash your hands after lead solder.",
        "Rosin fume is a recognised cause of asthma; lead is swallowed from fingers.",
    ),
    (
        (
            "Keep rails and screws clear of metal benches, mesh and foil; grommets in "
            "steel. Test rail to frame: it must be open."
        ),
        (
            "A frame that touches a rail is a wire that nobody drew. Whether it is "
            "joined to earth is for the electrician."
        ),
    ),
    (
        "A tingle between rail and earthed metal: stop, and have it looked at.",
        "The small leaks of several supplies add up.",
    ),
    (
        (
            "Outdoors: supplies indoors or in weatherproof housings, residual-current "
            "protection, no mains in the track bed; unplug in a thunderstorm."
        ),
        "Water and spades find every weak place.",
    ),
    (
        "At a show, the rules of the hall come first.",
        "It knows its mains, its exits and its fire marshal.",
    ),
    (
        (
            "A smoke alarm and an extinguisher near by. Never leave it powered alone, "
            "or children alone with it."
        ),
        "Faults choose their own time.",
    ),
)


def caution_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the page of cautions."""
    flow = Flow(TITLE, brief.body, brief.typeface)
    columns = (
        Column("", 10.0, bold=True),
        Column("Do", 10.0, bold=True, grow=1.0),
        Column("Because", 10.0, grow=1.0),
    )
    listed = (*_CAUTIONS, *_lamps(brief), _common(brief))
    rows = (Row((str(n), do, why)) for n, (do, why) in enumerate(listed, start=1))
    lay_table(flow, columns, rows)
    return flow.leaves()


def _lamps(brief: Brief) -> tuple[tuple[str, str], ...]:
    """Return the caution on lamps in the feed, where there are some."""
    devices = brief.layout.of_kind(Inline)
    names = ", ".join(d.id for d in devices if d.device == "lamp")
    if not names:
        return ()
    return (
        (
            (
                f"Lamp limiters ({names}): in the open, in holders for their watts, a "
                "hand's width clear of wood, scenery, foam and wires. Do not touch "
                "them lit."
            ),
            (
                "On a short one lights at full power for as long as nobody looks: its "
                "glass burns fingers, and scorches and ignites what touches it."
            ),
        ),
    )


def _common(brief: Brief) -> tuple[str, str]:
    """Return the caution on booster common, with what was noted of each."""
    noted = ", ".join(f"{b.id}: {b.common}" for b in brief.layout.of_kind(Booster))
    return (
        (
            "Booster common and earth: do what the equipment's own instructions say, "
            f"and note it. Noted so far: {noted or 'nothing'}."
        ),
        (
            "Instructions contradict each other from maker to maker, so this sheet "
            "takes no side."
        ),
    )
