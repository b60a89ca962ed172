"""W302: small-scale track that nothing small enough protects."""

from collections import defaultdict
from collections.abc import Iterator

from core.analysis.sound import sound_segments
from core.analysis.study import Clearing, Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.scales import MOST_TRIP_A, SMALL
from core.checks.words import count_of
from core.layout.parts import OnRun
from core.units.figures import show_amps, show_ohms, show_volts, show_watts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each device too big to be the last before the track."""
    if study.layout.settings.scale not in SMALL:
        return
    sound = sound_segments(study)
    behind: defaultdict[Clearing, list[int]] = defaultdict(list)
    for i, by in enumerate(study.clearing):
        if by is not None and sound[i] and by.trip_a > MOST_TRIP_A:
            behind[by].append(i)
    for by, segments in behind.items():
        yield _finding(study, by, segments)


def _finding(study: Study, by: Clearing, segments: list[int]) -> Finding:
    best = min(segments, key=lambda i: float(study.scan.loop0[i]))
    segment = study.circuit.segments[best]
    volts, loop = study.scan.driven_at(best, 0.0), study.scan.short_loop_at(best, 0.0)
    amps = min(by.trip_a, volts / (2.0 * loop))
    heat = (volts - amps * loop) * amps
    runs = tuple(dict.fromkeys(study.circuit.segments[i].run for i in segments))
    return RULE.finding(
        f"Nothing smaller than {by.part}, {show_amps(by.trip_a)}, stands before "
        f"{count_of(len(runs), 'track')}: a bad short can put "
        f"{show_watts(heat)} into one wheel.",
        f"({show_volts(volts)} − {show_amps(amps)} × {show_ohms(loop)}) × "
        f"{show_amps(amps)} = {show_watts(heat)}; a small soldering iron has 25 W; "
        f"{show_amps(by.trip_a)} > {show_amps(MOST_TRIP_A)}",
        f"Put breakers of {show_amps(MOST_TRIP_A)} or less between it and the track.",
        parts=(by.part, *runs),
        place=OnRun(run=segment.run, position_m=segment.start_m),
        size=by.trip_a / MOST_TRIP_A,
    )


RULE = Rule(
    "W302",
    Severity.HAZARD,
    "Breaker too big for the scale",
    source="Common practice: over 5 A on small scales only behind breakers of 5 A or "
    "less.",
    check=check,
)
