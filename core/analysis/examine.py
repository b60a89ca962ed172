"""Work out a whole study of a layout."""

from collections.abc import Callable

import numpy as np

from core.analysis.duties import (
    booster_duties,
    device_duties,
    segment_clearing,
    unfed_stretches,
    wire_duties,
)
from core.analysis.loads import solve_loads
from core.analysis.nodal import solve_nodal
from core.analysis.ordering import Ints
from core.analysis.scan import Scan, loop_terms, scan_track
from core.analysis.selected import Pattern
from core.analysis.shorts import Shorts, Waves, short_currents, solve_waves
from core.analysis.study import Case, Clearing, Extreme, Study
from core.analysis.system import (
    Floats,
    System,
    build_pattern,
    build_system,
    fill_pattern,
)
from core.layout.layout import Layout
from core.layout.parts import OnRun
from core.network.build import build_circuit
from core.network.feeds import find_feeds
from core.network.polarity import find_shorts

Keep = Callable[[System], Pattern]
"""What gives the pattern of a system; see `PatternShelf`."""


class PatternShelf:
    """Keeps the last pattern, for layouts of which only values have changed."""

    def __init__(self) -> None:
        self._key: tuple[int, bytes, bytes] | None = None
        self._pattern: Pattern | None = None

    def take(self, system: System) -> Pattern:
        """Return the pattern of a system, made anew only where its shape changed."""
        edges = np.stack([system.tail, system.head, system.active])
        key = (system.size, edges.tobytes(), system.circuit.ends.tobytes())
        if self._pattern is None or key != self._key:
            self._pattern = build_pattern(system)
            self._key = key
        return self._pattern


def study_layout(
    layout: Layout, case: Case | None = None, *, pattern: Keep = build_pattern
) -> Study:
    """Return everything worked out about a layout.

    Parameters
    ----------
    layout : Layout
        Must not change while or after it is studied: hand in a copy.
    case : Case, optional
        What to assume; default: loads on, test train as in the settings.
    pattern : callable, optional
        `PatternShelf.take` saves the symbolic work between studies.
    """
    case = case or Case()
    circuit = build_circuit(layout, loads=case.loads, thrown=case.thrown)
    system = build_system(circuit)
    shape = pattern(system)
    factor = shape.factor(fill_pattern(system, shape, 1.0 / system.ohm[:, None]))
    loops = loop_terms(system, shape, factor.selected_inverse())[..., 0]
    source = solve_nodal(system)
    drawn = solve_loads(system, factor, source)
    standing = solve_nodal(system, drawn.injection) if len(drawn.amps) else source
    train_a = layout.settings.test_train_a
    if case.test_train_a is not None:
        train_a = case.test_train_a
    scan = scan_track(system, loops, source=source, standing=standing, train_a=train_a)
    feeds = find_feeds(circuit)
    clearing = segment_clearing(layout, circuit, feeds)
    waves = solve_waves(system, shape) if scan.fed.any() else None
    places, weakest = _weakest(scan, waves)
    return Study(
        layout=layout,
        case=case,
        circuit=circuit,
        system=system,
        pattern=shape,
        factor=factor,
        source=source,
        standing=standing,
        drawn=drawn,
        scan=scan,
        waves=waves,
        weakest=weakest,
        clearing=clearing,
        feeds=feeds,
        shorts=find_shorts(circuit, system.islands),
        unfed=unfed_stretches(system, scan),
        boosters=booster_duties(layout, system, standing),
        devices=device_duties(layout, circuit, standing),
        wires=wire_duties(layout, circuit, standing, feeds),
        worst_volts=_extreme(system, scan, scan.lowest_volts(), highest=False),
        worst_loop=_extreme(system, scan, scan.highest_loop(), highest=True),
        weakest_short=_extreme(
            system,
            scan,
            (places, margins(weakest, clearing)),
            highest=False,
        ),
    )


def margins(shorts: Shorts | None, clearing: tuple[Clearing | None, ...]) -> Floats:
    """Return sensed short current over trip current; nan where nothing trips."""
    found = np.full(len(clearing), np.nan)
    if shorts is None:
        return found
    sensed = {how: shorts.sensed(how) for how in ("average", "rms", "peak")}
    for i, device in enumerate(clearing):
        if device is not None:
            found[i] = device.margin(float(sensed[device.sensing][i]))
    return found


def _weakest(scan: Scan, waves: Waves | None) -> tuple[Floats, Shorts | None]:
    """Return the weakest place of each segment and the currents there."""
    t = scan.highest_loop()[0]
    if waves is None:
        return t, None
    volts = (1.0 - t) * scan.source0 + t * scan.source1
    every: Ints = np.arange(len(t))
    impedance = waves.impedance(every, t)
    dead = ~scan.fed
    impedance[dead] = 1.0
    return t, short_currents(np.where(dead, 0.0, volts), impedance)


def _extreme(
    system: System,
    scan: Scan,
    found: tuple[Floats, Floats],
    *,
    highest: bool,
) -> Extreme | None:
    t, values = found
    usable = scan.fed & np.isfinite(values)
    if not usable.any():
        return None
    ranked = np.where(usable, values, -np.inf if highest else np.inf)
    i = int(ranked.argmax() if highest else ranked.argmin())
    segment = system.circuit.segments[i]
    position = segment.start_m + float(t[i]) * (segment.end_m - segment.start_m)
    return Extreme(OnRun(run=segment.run, position_m=position), float(values[i]))
