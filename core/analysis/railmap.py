"""The map of the rails: their poles, their districts, and every cut between them."""

from dataclasses import dataclass
from functools import cached_property

from core.analysis.borders import Border, find_borders
from core.analysis.districts import DistrictPlan, find_districts
from core.analysis.poles import PolePlan, find_poles
from core.analysis.study import Study
from core.layout.ids import PartId


@dataclass(frozen=True)
class RailMap:
    """What each rail is, and who feeds it.

    Attributes
    ----------
    poles : PolePlan or None
        None while there is no booster.
    plan : DistrictPlan
        The districts.
    borders : tuple of Border
        Every gap, insulated joint and insulated leg.
    """

    poles: PolePlan | None
    plan: DistrictPlan
    borders: tuple[Border, ...]

    @cached_property
    def border_of(self) -> dict[PartId, Border]:
        """The borders by their parts."""
        return {border.part: border for border in self.borders}


def map_rails(study: Study) -> RailMap:
    """Return the map of the rails of a layout."""
    poles, plan = find_poles(study), find_districts(study)
    return RailMap(poles, plan, find_borders(study, poles, plan))
