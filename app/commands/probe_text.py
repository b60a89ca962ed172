"""A probe as text, for a person."""

from app.commands.figures import write_rows, write_text
from core.analysis.breakdown import loss_word
from core.analysis.study import Flow, Probe, Racer
from core.layout.layout import Layout
from core.layout.parts import OnRun
from core.layout.queries import place_name
from core.materials.signal import HALF_BIT_ONE_S
from core.units.figures import (
    show_amps,
    show_henry,
    show_ohms,
    show_seconds,
    show_share,
    show_volts,
    show_watts,
)

COLUMN = 13
"""Where the texts of the rows begin."""

MOST_DROPS = 6
"""How many drops are told; the JSON object has all."""


def write_probe(layout: Layout, found: Probe) -> str:
    """Return a probe as text."""
    place = place_name(layout, OnRun(run=found.run, position_m=found.position_m))
    if found.shorted_by is not None:
        return f"{place}\n{write_text(f'SHORTED: {say_shorted(found)}')}"
    if not found.fed:
        return f"{place}\n{found.sentence}"
    rows = [*_write_volts(found), *_write_short(found), *_write_race(found)]
    rows += [("Devices", _write_flows(found.devices)), ("Drops", _write_drops(found))]
    rows += [("Bad contact", _write_lazy(found)), ("Notch", _write_notch(found))]
    rows.append(("Lost", _write_loss(found)))
    rows += [
        (f"  {loss_word(x)}", _write_share(found, x.volts_v)) for x in found.breakdown
    ]
    return "\n".join([place, write_text(found.sentence), "", write_rows(rows, COLUMN)])


def _write_volts(found: Probe) -> list[tuple[str, str]]:
    least, most = show_volts(found.volts_low_v), show_volts(found.volts_high_v)
    low, high = show_ohms(found.loop_low_ohm), show_ohms(found.loop_high_ohm)
    train = show_amps(found.test_train_a)
    at_load = f"{show_volts(found.volts_v)} ({least} to {most}) with {train}"
    if found.starves:
        at_load = f"nothing is left with {train}"
    return [
        ("At load", at_load),
        ("Standing", show_volts(found.standing_v)),
        ("No load", show_volts(found.source_v)),
        ("Loop", f"{show_ohms(found.loop_ohm)} ({low} to {high})"),
        ("", show_henry(found.loop_henry)),
    ]


def _write_short(found: Probe) -> list[tuple[str, str]]:
    known = [
        f"{show_amps(amps)} {kind}"
        for kind, amps in (
            ("average on ones", found.short_mean_ones_a),
            ("on zeros", found.short_mean_zeros_a),
            ("peak", found.short_peak_a),
        )
        if amps is not None
    ]
    alone = f"{show_amps(found.short_dc_a)} by resistance alone"
    limit = f"{alone}; limited by {found.limited_by}" if found.limited_by else alone
    weak = found.short_verdict != "good" and found.helps
    helps = [("", f"{found.helps}.")] if weak else []
    return [("Short", limit), ("", ", ".join(known)), *_write_sure(found), *helps]


def _write_sure(found: Probe) -> list[tuple[str, str]]:
    """Return how sure the short current is, as rail, joints and wire vary."""
    if found.short_low_a is None or found.short_high_a is None:
        return []
    low, high = show_amps(found.short_low_a), show_amps(found.short_high_a)
    said = f"{low} to {high} as rail, joints and wire vary"
    if found.margin_low is None or found.margin_high is None:
        return [("", said)]
    times = f"{found.margin_low:.2f} to {found.margin_high:.2f} times"
    return [("", f"{said}, {times} what trips {found.cleared_by}")]


def _write_race(found: Probe) -> list[tuple[str, str]]:
    """Return who trips on a short here, the first at the head; or what holds it."""
    if found.held_by is not None and not any(racer.trips for racer in found.race):
        amps, watts = show_amps(found.held_a or 0.0), show_watts(found.held_w or 0.0)
        return [
            ("Trips", f"nothing: {found.held_by} holds it at {amps}, {watts} in it")
        ]
    if not found.race:
        return [("Trips", "nothing: no device before this place does")]
    heads = ["Trips", *[""] * len(found.race)]
    return list(zip(heads, map(_write_racer, found.race), strict=False))


def _write_racer(racer: Racer) -> str:
    trip, time = show_amps(racer.trip_a), show_seconds(racer.trip_s)
    if racer.opens_s is not None and racer.then_a is not None:
        after = show_seconds(racer.opens_s)
        return f"{racer.part} after {after}: {show_amps(racer.then_a)}, trips at {trip}"
    if racer.trips:
        return f"{racer.part} in {time}: {show_amps(racer.sensed_a)}, trips at {trip}"
    return f"not {racer.part}: {show_amps(racer.sensed_a)}, trips at {trip}"


def _write_flows(flows: tuple[Flow, ...]) -> str:
    """Return what devices carry with the train here, the booster first."""
    return ", ".join(
        f"{flow.part} {show_amps(flow.amps_a)} of {show_amps(flow.rated_a)}"
        for flow in flows
    )


def _write_drops(found: Probe) -> str:
    """Return what drops carry with the train here, the most loaded first."""
    told = found.drops[:MOST_DROPS]
    if not told:
        return "they carry nothing"
    said = ", ".join(f"{flow.part} {show_amps(flow.amps_a)}" for flow in told)
    rest = len(found.drops) - len(told)
    return f"{said}, {rest} more less" if rest else said


def _write_lazy(found: Probe) -> str:
    if found.lazy_w is None:
        return "nothing would trip on it"
    if found.cleared_by is None:
        return f"{show_watts(found.lazy_w)} in it, and nothing would trip"
    return f"{show_watts(found.lazy_w)} in it, and {found.cleared_by} would not trip"


def _write_notch(found: Probe) -> str:
    share = show_share(found.notch_s / HALF_BIT_ONE_S)
    return (
        f"{found.notch_s * 1e6:.1f} µs, {share} of a half-bit: a hint at signal "
        "quality, no prediction"
    )


def _write_loss(found: Probe) -> str:
    lost_v = found.source_v - found.volts_v
    return f"{show_volts(lost_v)}, {show_share(found.drop_share)}: {found.drop_verdict}"


def _write_share(found: Probe, volts_v: float) -> str:
    lost_v = found.source_v - found.volts_v
    share = volts_v / lost_v if lost_v > 0.0 else 0.0
    return f"{show_volts(volts_v):>8}  {show_share(share)} of it"


def say_shorted(found: Probe) -> str:
    """Return why a place has no figures; empty where it has."""
    if found.shorted_by is None:
        return ""
    return (
        f"{found.shorted_by} feeds this place and is shorted: cure that first, no "
        "figure holds before."
    )
