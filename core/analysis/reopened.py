"""A circuit with one branch open, its diode detectors settled anew.

Only where detectors block is this asked: a branch whose opening seems to leave track
dead may have a detector beside it that conducts then.
"""

from dataclasses import replace

import numpy as np

from core.analysis.diodes import Diodes
from core.analysis.nodal import Nodal
from core.analysis.ordering import Ints
from core.analysis.passing import pass_track
from core.analysis.scan import Scan, loop_terms, scan_track
from core.analysis.settled import settle_circuit
from core.analysis.study import Study
from core.analysis.system import System, fill_pattern

OPEN_OHM = 1e9
"""What an open branch has. [Ω]"""

BRIDGE = 1e-7
"""1 − g·aᵀZa below this means that nothing else carries the current. [1]"""


def detoured(study: Study, branches: Ints) -> dict[int, Scan]:
    """Return scans with each of some branches open that detectors lead round.

    Those that nothing leads round are left out. Loads draw what they ask for.
    """
    passing = study.passing
    if passing is None or not passing.onset.blocked.any() or not len(branches):
        return {}
    whole = passing.diodes.system
    columns = np.arange(len(branches))
    tail, head = whole.tail[branches], whole.head[branches]
    unit = np.zeros((whole.size + 1, len(branches)))
    unit[tail, columns] += 1.0
    unit[head, columns] -= 1.0
    rows = np.vstack([Nodal(whole).rows(unit[:-1]), np.zeros((1, len(branches)))])
    own = (rows[tail, columns] - rows[head, columns]) / whole.ohm[branches]
    return {
        branch: _without(study, whole, branch)
        for branch, share in zip(branches.tolist(), own.tolist(), strict=True)
        if 1.0 - share >= BRIDGE
    }


def _without(study: Study, whole: System, branch: int) -> Scan:
    ohm = whole.ohm.copy()
    ohm[branch] = OPEN_OHM
    base = replace(whole, ohm=ohm)
    nodal = Nodal(base)
    diodes = Diodes(base, nodal)
    settled = settle_circuit(base, nodal, diodes)
    held = diodes.hold(settled.onset)
    factor = study.pattern.factor(
        fill_pattern(held, study.pattern, 1.0 / held.ohm[:, None])
    )
    scan = scan_track(
        held,
        loop_terms(held, study.pattern, factor.selected_inverse())[..., 0],
        source=settled.source,
        standing=settled.beginning,
        train_a=study.scan.train_a,
    )
    return pass_track(base, settled, scan)[1]
