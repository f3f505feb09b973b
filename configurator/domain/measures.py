"""What a price needs to know of a panel, measured once and remembered with the panel."""

from dataclasses import dataclass
from functools import lru_cache

from configurator.domain.body import measure
from configurator.domain.body.records import Edge, Panel


@dataclass(frozen=True)
class Measures:
    """Developed area, and the boundary's true lengths by kind and neighbour."""

    area_m2: float
    edges: tuple[Edge, ...]

    @property
    def perimeter_mm(self) -> float:
        return sum(edge.length_mm for edge in self.edges)


@lru_cache(maxsize=4096)
def measures(panel: Panel) -> Measures:
    """A left panel has exactly the area of the right one whose mirror image it is."""
    return Measures(measure.area_m2(panel.mirror_of or panel), measure.edges(panel))


@lru_cache(maxsize=4096)
def difficulty(panel: Panel) -> float:
    """0..1, from the panel laid flat (the dearest of the measures, so it is asked for by itself)."""
    return measure.difficulty(panel.mirror_of or panel)
