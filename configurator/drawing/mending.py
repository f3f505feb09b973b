"""Areas that shapely's overlays can be trusted with: broken ones are mended before they are joined or cut."""

from collections.abc import Sequence

import numpy as np
import shapely

from configurator.drawing.rings import Areas


def mended(areas: Areas | Sequence[shapely.Geometry]) -> Areas:
    """(n,) the same areas, broken ones made valid: what their rings go round, however often; what falls to a line is left out."""
    sound = np.array(areas, dtype=object)
    broken = ~shapely.is_valid(sound)
    sound[broken] = shapely.make_valid(sound[broken], method="structure", keep_collapsed=False)
    return sound


def grown(areas: Areas | Sequence[shapely.Geometry], by_mm: float, *, segments: int = 1, join: str = "mitre") -> Areas:
    """(n,) areas grown (or shrunk) all round: sound ones, whatever the areas are."""
    with np.errstate(divide="ignore", invalid="ignore"):  # a spike in a ring has no mitre; GEOS says so and goes on
        buffered: Areas = shapely.buffer(np.array(areas, dtype=object), by_mm, quad_segs=segments, join_style=join, mitre_limit=3)
    return buffered


def joined(areas: Areas | Sequence[shapely.Geometry]) -> shapely.Geometry:
    return shapely.union_all(mended(areas))


def less(areas: Areas | Sequence[shapely.Geometry], lids: Areas | Sequence[shapely.Geometry]) -> Areas:
    """(n,) each area without its lid."""
    left: Areas = shapely.difference(mended(areas), mended(lids))
    return left
