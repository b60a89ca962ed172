"""Run every rule over a study, and put the findings in order."""

from core.analysis.study import Study
from core.checks.finding import Finding
from core.checks.rule import Rule
from core.checks.rules import (
    always_occupied,
    bare_crossing,
    below_floor,
    big_breaker,
    blade_fed,
    bridge_opposed,
    bridged_gap,
    bridged_programming,
    bus_over_edge,
    crossing_short,
    crowded_screw,
    detector_drop,
    detector_lead,
    facing_reversers,
    hole_on_joist,
    hot_contact,
    hot_drop,
    hot_wire,
    ill_fitting_tap,
    joined_boosters,
    joined_devices,
    joiner_only,
    let_through,
    live_approach,
    long_lead,
    long_train,
    loose_end,
    lost_volts,
    no_push,
    no_reverser,
    odd_voltage,
    one_gap,
    one_rail_gap,
    open_gap,
    opposed_phase,
    overloaded_booster,
    overloaded_device,
    plain_bridge,
    poles_meet,
    reversing_uncut,
    setting_short,
    short_lead,
    short_of_pit,
    short_section,
    signal_notch,
    slow_restart,
    snubber,
    split_at_stall,
    starved_load,
    thin_wire,
    third_crossing,
    unequal_districts,
    unfed,
    unfed_section,
    unsaid_common,
    unsteady_lamp,
    weak_contact,
    weak_short,
    wide_spacing,
    wrong_bus_label,
    wrong_label,
    wrong_order,
)

RULES: tuple[Rule, ...] = (
    unfed.RULE,  # W101
    joiner_only.RULE,  # W102
    poles_meet.RULE,  # W103
    loose_end.RULE,  # W104
    bare_crossing.RULE,  # W105
    crossing_short.RULE,  # W106
    reversing_uncut.RULE,  # W111
    one_gap.RULE,  # W112
    short_section.RULE,  # W113
    no_reverser.RULE,  # W114
    setting_short.RULE,  # W115
    blade_fed.RULE,  # W116
    bridge_opposed.RULE,  # W117
    split_at_stall.RULE,  # W118
    plain_bridge.RULE,  # W119
    joined_boosters.RULE,  # W121
    unequal_districts.RULE,  # W122
    opposed_phase.RULE,  # W123
    facing_reversers.RULE,  # W124
    one_rail_gap.RULE,  # W125
    long_train.RULE,  # W126
    joined_devices.RULE,  # W127
    bridged_programming.RULE,  # W128
    bridged_gap.RULE,  # W129
    third_crossing.RULE,  # W131
    short_of_pit.RULE,  # W132
    lost_volts.RULE,  # W201
    below_floor.RULE,  # W202
    thin_wire.RULE,  # W203
    hot_wire.RULE,  # W204
    wrong_label.RULE,  # W205
    starved_load.RULE,  # W206
    detector_drop.RULE,  # W207
    signal_notch.RULE,  # W208
    snubber.RULE,  # W209
    let_through.RULE,  # W210
    always_occupied.RULE,  # W211
    detector_lead.RULE,  # W212
    wide_spacing.RULE,  # W213
    wrong_bus_label.RULE,  # W215
    hot_drop.RULE,  # W216
    weak_short.RULE,  # W301
    big_breaker.RULE,  # W302
    wrong_order.RULE,  # W303
    slow_restart.RULE,  # W304
    hot_contact.RULE,  # W305
    no_push.RULE,  # W306
    weak_contact.RULE,  # W307
    unsteady_lamp.RULE,  # W308
    overloaded_booster.RULE,  # W401
    odd_voltage.RULE,  # W402
    overloaded_device.RULE,  # W403
    unsaid_common.RULE,  # W404
    hole_on_joist.RULE,  # W501
    long_lead.RULE,  # W502
    short_lead.RULE,  # W503
    crowded_screw.RULE,  # W504
    ill_fitting_tap.RULE,  # W505
    open_gap.RULE,  # W506
    live_approach.RULE,  # W507
    unfed_section.RULE,  # W508
    bus_over_edge.RULE,  # W509
)
"""Every rule there is, by code. A code never changes its meaning."""


def run_checks(study: Study) -> tuple[Finding, ...]:
    """Return all findings, worst first: by severity, then by how far beyond."""
    found = [finding for rule in RULES for finding in rule.check(study)]
    return tuple(sorted(found, key=lambda f: (f.severity.rank, -f.size, f.code)))
