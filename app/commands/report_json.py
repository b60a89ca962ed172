"""The report as one JSON object, for a program: SI units, named in the keys."""

from collections import Counter
from math import isfinite
from typing import Any

from app.commands.answers import Answers, Judged, answer
from app.commands.figures import describe_beyond, place_of, tidy
from core.analysis.districts import District
from core.analysis.legs import SNUBBER_FARAD, SNUBBER_OHM, Leg
from core.analysis.limiters import Limiter
from core.analysis.probe import probe_place
from core.analysis.remedy import find_remedy
from core.analysis.returning import Return, Together
from core.analysis.study import BoosterDuty, Extreme, Study
from core.analysis.weak import WeakShort
from core.checks.bearing import LoadRow
from core.checks.finding import Finding, Severity
from core.checks.guards import GuardRow
from core.checks.holding import HoldRow
from core.layout.layout import Layout
from core.layout.queries import run_name


def describe_report(study: Study, findings: tuple[Finding, ...]) -> dict[str, Any]:
    """Return the report as one JSON object: SI units, named in the keys."""
    layout = study.layout
    counts = Counter(f.severity for f in findings)
    answers = answer(study)
    sound = answers.sound
    shorted = set(study.shorted)
    return {
        "format": "feederwright-report",
        "version": 1,
        "title": layout.settings.title,
        "revision": layout.settings.revision,
        "test_train_a": tidy(study.scan.train_a),
        "counts": {severity.value: counts[severity] for severity in Severity},
        "poles_joined": bool(study.shorts),
        "shorts": [
            {
                "booster": short.booster,
                "path": list(short.path),
                "culprits": [culprit.part for culprit in short.culprits],
            }
            for short in study.shorts
        ],
        "opposed": [list(pair) for pair in study.opposed],
        "lowest_volts": _describe_place(sound, sound.worst_volts, "volts_v"),
        "highest_loop": _describe_place(sound, sound.worst_loop, "loop_ohm"),
        "weakest_short": _describe_place(sound, sound.weakest_short, "margin"),
        **_describe_answers(layout, answers),
        "measured_rails": [
            {
                "rail": own.rail,
                "amps_a": tidy(own.amps_a),
                "length_m": tidy(own.length_m),
                "volts_v": tidy(own.volts_v),
            }
            for own in layout.settings.measured
        ],
        "boosters": [
            _describe_booster(b, shorted=b.part in shorted) for b in study.boosters
        ],
        "unfed": [
            {
                "run": u.run,
                "track": run_name(layout, u.run),
                "start_m": tidy(u.start_m),
                "end_m": tidy(u.end_m),
                "sides": u.sides,
            }
            for u in study.unfed
        ],
        "findings": [_describe_finding(layout, f) for f in findings],
    }


def _describe_answers(layout: Layout, answers: Answers) -> dict[str, Any]:
    return {
        "weakest_shorts": [_describe_short(answers.sound, w) for w in answers.weakest],
        "openings": [_describe_opening(layout, j) for j in answers.openings],
        "restarts": [_describe_restart(t) for t in answers.restarts],
        "together": [_describe_together(t) for t in answers.together],
        "legs": [_describe_leg(leg) for leg in answers.legs],
        "guards": [_describe_guard(row) for row in answers.guards],
        "districts": [_describe_district(d) for d in answers.districts],
        "conductors": [_describe_hold(layout, row) for row in answers.holds],
        "lamps": [_describe_lamp(layout, lamp) for lamp in answers.lamps],
        "carried": [_describe_load(layout, row) for row in answers.carried],
    }


def _describe_short(study: Study, short: WeakShort) -> dict[str, Any]:
    return {
        **place_of(study.layout, short.place),
        "margin": tidy(short.margin),
        "margin_low": tidy(short.margin_low),
        "margin_high": tidy(short.margin_high),
        "sensed_a": tidy(short.sensed_a),
        "trip_a": tidy(short.by.trip_a),
        "cleared_by": short.by.part,
        "limited_by": short.limited_by,
        "helps": find_remedy(study, short.point).words,
        "short_dc_a": tidy(short.plain_a),
        "margin_dc": tidy(short.plain_margin),
    }


def _describe_opening(layout: Layout, judged: Judged) -> dict[str, Any]:
    opening = judged.opening
    some_left = isfinite(opening.volts_v)
    return {
        "part": opening.part,
        "place": place_of(layout, opening.place) if opening.place else None,
        "wire": opening.wire,
        "dead_m": tidy(opening.dead_m),
        "lowest_volts_v": tidy(max(opening.volts_v, 0.0)),
        "lowest_at": place_of(layout, opening.worst) if some_left else None,
        "matters": judged.matters,
    }


def _describe_together(together: Together) -> dict[str, Any]:
    return {
        "part": together.part,
        "below": list(together.below),
        "stores": together.stores,
        "store_farad": tidy(together.farad),
        "idle_a": tidy(together.idle_a),
        "asked_a": tidy(together.asked_a),
        "charge_s": tidy(together.charge_s),
        "trip_s": tidy(together.trip_s),
        "holds": together.holds,
        "holds_in_turn": together.holds_in_turn,
        "peak_a": tidy(together.peak_a),
    }


def _describe_restart(turn: Return) -> dict[str, Any]:
    restart = turn.restart
    return {
        "part": restart.part,
        "stores": restart.stores,
        "most": restart.most,
        "store_farad": tidy(restart.farad),
        "idle_a": tidy(restart.idle_a),
        "charge_s": tidy(restart.charge_s),
        "trip_s": tidy(restart.trip_s),
        "close_after_s": tidy(restart.close_after_s),
        "booster": turn.booster.id,
        "peak_a": tidy(turn.peak_a),
        "holds": turn.holds,
    }


def _describe_leg(leg: Leg) -> dict[str, Any]:
    snubber = {
        "ohm": SNUBBER_OHM,
        "farad": SNUBBER_FARAD,
        "watts_w": tidy(leg.snubber_w),
        "resistor_w": tidy(leg.resistor_w),
    }
    return {
        "bus": leg.bus,
        "length_m": tidy(leg.length_m),
        "loop_henry": tidy(leg.henry),
        "loop_farad": tidy(leg.farad),
        "amps_a": tidy(leg.amps_a),
        "notch_s": tidy(leg.notch_s),
        "open_end": leg.open_end,
        "snubber": snubber if leg.snubber_w is not None else None,
        "behind_detector": leg.behind,
        "snubber_fitted": leg.snubber_fitted,
    }


def _describe_guard(row: GuardRow) -> dict[str, Any]:
    return {
        "part": row.own.part,
        "trip_a": tidy(row.own.trip_a),
        "trip_s": tidy(row.own.trip_s),
        "above": [device.part for device in row.above],
        "order": row.order,
        "rival": row.rival.part if row.rival is not None else None,
    }


def _describe_district(district: District) -> dict[str, Any]:
    room = district.headroom
    return {
        "number": district.number,
        "chain": list(district.chain),
        "feeders": list(district.feeders),
        "length_m": tidy(district.length_m),
        "amps_a": tidy(district.amps_a),
        "left_a": tidy(room.amps_a) if room is not None else None,
        "left_at": room.by if room is not None else None,
        "limit_a": tidy(room.limit_a) if room is not None else None,
        "reverser": district.reverser,
    }


def _describe_lamp(layout: Layout, lamp: Limiter) -> dict[str, Any]:
    held = lamp.held
    return {
        "part": lamp.part,
        "rated_v": tidy(lamp.rated_v),
        "rated_a": tidy(lamp.rated_a),
        "with_train_a": tidy(lamp.train_a),
        "loss_v": tidy(lamp.loss_v),
        "loss_at_1a_v": tidy(lamp.loss_1a_v),
        "place": place_of(layout, lamp.place) if lamp.place else None,
        "held_a": tidy(held.amps_a) if held else None,
        "held_w": tidy(held.watts_w) if held else None,
        "surge_a": tidy(held.surge_a) if held else None,
        "tripped": held.first.part if held and held.first else None,
    }


def _describe_load(layout: Layout, row: LoadRow) -> dict[str, Any]:
    carried = row.carried
    return {
        "part": carried.part,
        "wire": carried.wire,
        "most_a": tidy(carried.amps_a),
        "standing_a": tidy(carried.standing_a),
        "train_at": place_of(layout, carried.at) if carried.at else None,
        "wire_stands_a": tidy(row.bearing.wire_a),
        "connector_stands_a": tidy(row.bearing.contact_a),
        "most_with_one_open_a": tidy(carried.open_a),
        "open": carried.open_part,
    }


def _describe_hold(layout: Layout, row: HoldRow) -> dict[str, Any]:
    own = row.worst
    return {
        "kind": own.kind,
        "size": own.size,
        "count": row.count,
        "part": own.part,
        "place": place_of(layout, own.place) if own.place is not None else None,
        "stands_a": tidy(own.amps_a),
        "stands_a2s": tidy(own.squared),
        "protected_by": own.by.part,
        "trip_a": tidy(own.by.trip_a),
        "trip_s": tidy(own.by.trip_s),
        "short_a": tidy(own.short_a),
        "let_through_a2s": tidy(own.passed),
        "verdict": own.verdict,
    }


def _describe_booster(duty: BoosterDuty, *, shorted: bool) -> dict[str, Any]:
    """Describe a booster; what a shorted one would give is no load of it."""
    return {
        "part": duty.part,
        "volts_v": tidy(duty.volts_v),
        "amps_a": None if shorted else tidy(duty.amps_a),
        "rated_a": tidy(duty.rated_a),
        "shorted": shorted,
    }


def _describe_place(
    study: Study, worst: Extreme | None, figure: str
) -> dict[str, Any] | None:
    """Describe a worst place; the figure it is worst in is that of its own side.

    At a gap there are two sides, and a probe tells of one.
    """
    if worst is None:
        return None
    found = probe_place(study, worst.place)
    return {
        **place_of(study.layout, worst.place),
        "volts_v": tidy(found.volts_v),
        "volts_low_v": tidy(found.volts_low_v),
        "volts_high_v": tidy(found.volts_high_v),
        "drop_share": tidy(found.drop_share),
        "loop_ohm": tidy(found.loop_ohm),
        "loop_low_ohm": tidy(found.loop_low_ohm),
        "loop_high_ohm": tidy(found.loop_high_ohm),
        "margin": tidy(found.margin),
        "margin_low": tidy(found.margin_low),
        "margin_high": tidy(found.margin_high),
        "beyond": [describe_beyond(one) for one in found.beyond],
        figure: tidy(worst.value),
    }


def _describe_finding(layout: Layout, finding: Finding) -> dict[str, Any]:
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "title": finding.title,
        "sentence": finding.sentence,
        "figures": finding.figures,
        "remedy": finding.remedy,
        "parts": list(finding.parts),
        "place": place_of(layout, finding.place) if finding.place else None,
        "source": finding.source,
    }
