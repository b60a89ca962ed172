"""Work out a whole study of a layout."""

from collections.abc import Callable
from functools import partial

import numpy as np

from core.analysis.carrying_over import carry_over
from core.analysis.diodes import Diodes
from core.analysis.duties import find_duties
from core.analysis.lamps import series_lamps, settle_lamps
from core.analysis.loads import solve_loads
from core.analysis.nodal import Nodal
from core.analysis.ordering import Ordering
from core.analysis.passing import Passing, pass_track
from core.analysis.scan import loop_terms, scan_track
from core.analysis.selected import Factor, Pattern
from core.analysis.settled import settle_circuit
from core.analysis.study import Case, Study, find_extreme
from core.analysis.system import (
    Floats,
    Place,
    System,
    build_pattern,
    build_system,
    fill_pattern,
    pattern_pairs,
    row_places,
)
from core.layout.layout import Layout
from core.network.build import build_circuit
from core.network.memory import PartMemory
from core.network.polarity import find_shorts

Keep = Callable[[System], Pattern]
"""What gives the pattern of a system; see `PatternShelf`."""


class PatternShelf:
    """Keeps the last pattern, for layouts of which only values have changed.

    Where a few nodes have come or gone, the order of elimination is carried over
    from the last one that was found anew.
    """

    def __init__(self) -> None:
        self._key: tuple[int, bytes, bytes] | None = None
        self._pattern: Pattern | None = None
        self._base: tuple[Ordering, dict[Place, int]] | None = None

    def take(self, system: System) -> Pattern:
        """Return the pattern of a system, made anew only where its shape changed."""
        edges = np.stack([system.tail, system.head, system.active])
        key = (system.size, edges.tobytes(), system.circuit.ends.tobytes())
        if self._pattern is None or key != self._key:
            self._pattern, self._key = self._make(system), key
        return self._pattern

    def _make(self, system: System) -> Pattern:
        places = row_places(system)
        if self._base is not None:
            old, known = self._base
            new_of = np.array([places.get(place, -1) for place in known], np.int64)
            pairs = pattern_pairs(system)
            ordering = carry_over(old, new_of, system.size, pairs)
            if ordering is not None:
                return Pattern(system.size, pairs, ordering)
        pattern = build_pattern(system)
        self._base = (pattern.ordering, places)
        return pattern


def study_layout(
    layout: Layout,
    case: Case | None = None,
    *,
    pattern: Keep = build_pattern,
    memory: PartMemory | None = None,
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
    memory : PartMemory, optional
        Saves building what has not changed since the last study with it.
    """
    case = case or Case()
    circuit = build_circuit(
        layout,
        loads=case.loads,
        thrown=case.thrown,
        opened=case.opened,
        memory=memory,
    )
    train_a = layout.settings.test_train_a
    if case.test_train_a is not None:
        train_a = case.test_train_a
    system = build_system(circuit)
    shape = pattern(system)
    settled_lamps = settle_lamps(layout, circuit, shape, train_a)
    if settled_lamps is not circuit:
        circuit, system = settled_lamps, build_system(settled_lamps)
    nodal = Nodal(system)
    diodes = Diodes(system, nodal)
    passing: Passing | None = None
    if diodes:
        base, settled = system, settle_circuit(system, nodal, diodes)
        system = diodes.hold(settled.onset)
        factor, loops = _factor(system, shape)
        source, drawn, standing = settled.source, settled.drawn, settled.standing
        begun = settled.beginning
        scan = scan_track(
            system,
            loops,
            source=source,
            standing=begun,
            train_a=train_a,
            small=drawn.small,
        )
        passing, scan = pass_track(base, settled, scan)
    else:
        factor, loops = _factor(system, shape)
        source = nodal.solve()
        drawn = solve_loads(system, factor, source)
        standing = nodal.solve(drawn.injection) if len(drawn.amps) else source
        scan = scan_track(
            system,
            loops,
            source=source,
            standing=standing,
            train_a=train_a,
            small=drawn.small,
        )
    lamps = series_lamps(layout, system, factor)
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
        shorts=find_shorts(circuit, system.islands),
        worst_volts=find_extreme(circuit, scan, scan.lowest_volts(), highest=False),
        worst_loop=find_extreme(circuit, scan, scan.highest_loop(), highest=True),
        lamps=lamps,
        find_duties=partial(find_duties, layout, system, scan, standing, lamps),
        passing=passing,
    )


def _factor(system: System, shape: Pattern) -> tuple[Factor, Floats]:
    """Return the factors of the equations and the loop terms."""
    factor = shape.factor(fill_pattern(system, shape, 1.0 / system.ohm[:, None]))
    return factor, loop_terms(system, shape, factor.selected_inverse())[..., 0]
