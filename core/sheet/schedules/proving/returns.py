"""How power comes back to what each device guards."""

from dataclasses import dataclass

from core.analysis.restart import Restart, plan_restart
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.parts import Booster


@dataclass(frozen=True, slots=True)
class Return:
    """How one device comes back, and what its booster gives meanwhile.

    `peak_a` is its trip current while its stores charge, and what stands still
    behind those that came back before it, under one booster. [A]
    """

    restart: Restart
    booster: Booster
    peak_a: float

    @property
    def order(self) -> tuple[float, str, str]:
        """What returns are sorted by."""
        return self.restart.close_after_s, self.booster.id, self.restart.part


def returns(study: Study) -> tuple[Return, ...]:
    """Return how each device that has loads behind it comes back, in that order."""
    given: dict[PartId, float] = {}
    found: list[Return] = []
    for restart in sorted(plan_restart(study), key=lambda r: r.close_after_s):
        chain = study.feeds.chain(restart.part)
        booster = study.layout.need(chain[-1], Booster)
        device = study.clearing_of(restart.part)
        assert device is not None, "only devices that trip are asked"
        charging = device.trip_a if restart.stores else restart.idle_a
        before = given.get(booster.id, 0.0)
        found.append(Return(restart, booster, before + charging))
        given[booster.id] = before + restart.idle_a
    return tuple(sorted(found, key=lambda r: r.order))
