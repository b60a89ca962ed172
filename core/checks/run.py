"""Run every rule over a study, and put the findings in order."""

from core.analysis.study import Study
from core.checks.finding import Finding
from core.checks.rule import Rule
from core.checks.rules import (
    below_floor,
    big_breaker,
    crowded_screw,
    hole_on_joist,
    hot_wire,
    joiner_only,
    long_lead,
    loose_end,
    lost_volts,
    odd_voltage,
    overloaded_booster,
    overloaded_device,
    poles_meet,
    short_lead,
    starved_load,
    thin_wire,
    unfed,
    weak_short,
    wrong_label,
    wrong_order,
)

RULES: tuple[Rule, ...] = (
    unfed.RULE,  # W101
    joiner_only.RULE,  # W102
    poles_meet.RULE,  # W103
    loose_end.RULE,  # W104
    lost_volts.RULE,  # W201
    below_floor.RULE,  # W202
    thin_wire.RULE,  # W203
    hot_wire.RULE,  # W204
    wrong_label.RULE,  # W205
    starved_load.RULE,  # W206
    weak_short.RULE,  # W301
    big_breaker.RULE,  # W302
    wrong_order.RULE,  # W303
    overloaded_booster.RULE,  # W401
    odd_voltage.RULE,  # W402
    overloaded_device.RULE,  # W403
    hole_on_joist.RULE,  # W501
    long_lead.RULE,  # W502
    short_lead.RULE,  # W503
    crowded_screw.RULE,  # W504
)
"""Every rule there is, by code. A code never changes its meaning."""


def run_checks(study: Study) -> tuple[Finding, ...]:
    """Return all findings, worst first: by severity, then by how far beyond."""
    found = [finding for rule in RULES for finding in rule.check(study)]
    return tuple(sorted(found, key=lambda f: (f.severity.rank, -f.size, f.code)))
