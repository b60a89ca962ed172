"""The programming track: what is changed over, and the dead piece before the main."""

from core.analysis.programming import Bridge, Mixed, change_overs, find_bridge
from core.layout.parts import Inline, ToPort
from core.layout.queries import attached_to, run_name
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.schedules.words import end_words, titled
from core.sheet.table import Column, Row, lay_table

TITLE = "Programming track"

_HOW = (
    "Both rails are cut at both ends of the track, and both its wires are changed over "
    "at once. The piece between it and the main is dead meanwhile and at least as long "
    "as the longest engine, {engine}: else an engine across its end joins the main to "
    "the output, and every engine is programmed. With the switch at programming: buzz "
    "from the track to the main, both rails, in silence; then try one engine."
)


def programming_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the list of change-over switches; nothing where there is none."""
    switches = tuple(change_overs(brief.layout))
    if not switches:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    flow.text(_HOW.format(engine=brief.length(brief.settings.engine_m)), 11.0)
    flow.space(2.0)
    columns = (
        Column("Switch", 13.0, bold=True),
        Column("Running: from", 12.0),
        Column("Programming: from", 12.0),
        Column("Feeds", 12.0, grow=1.0),
        Column("Apart from the main", 12.0, grow=1.0),
        Column("wired", align="tick"),
        Column("silent", align="tick"),
    )
    lay_table(flow, columns, (_row(brief, switch) for switch in switches))
    return flow.leaves()


def _row(brief: Brief, switch: Inline) -> Row:
    layout = brief.layout
    return Row(
        (
            f"{titled(switch.id, switch.name)}\n{switch.poles} poles",
            end_words(layout, switch.feed),
            end_words(layout, switch.other),
            _feeds(brief, switch),
            _apart(brief, find_bridge(layout, switch, brief.study.case.thrown)),
            "□",
            "□",
        )
    )


def _feeds(brief: Brief, switch: Inline) -> str:
    sides: dict[str, list[str]] = {"out": [], "iso": []}
    for part in attached_to(brief.layout, switch.id):
        for to in (getattr(part, name, None) for name in ("to", "start", "end")):
            if isinstance(to, ToPort) and to.part == switch.id and to.port in sides:
                sides[to.port].append(part.id)
    told = [f"track: {', '.join(sides['out']) or 'nothing yet'}"]
    if switch.poles == 4:
        told.append(f"isolation piece: {', '.join(sides['iso']) or 'nothing yet'}")
    return "\n".join(told)


def _apart(brief: Brief, found: Bridge | Mixed | None) -> str:
    if found is None:
        return f"{brief.length(brief.settings.engine_m)} or more"
    if isinstance(found, Mixed):
        return "▲ NOT AT ALL: joined by metal"
    name = run_name(brief.layout, found.main)
    return f"▲ ONLY {brief.length(found.apart_m)}, from {name}"
