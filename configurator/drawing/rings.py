"""Many closed outlines in one pair of arrays, so that a whole view is worked on at once."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from configurator.domain.body.records import Indices, Points
from configurator.domain.body.vectors import lengths

Areas = NDArray[np.object_]
"""An array of shapely areas."""


@dataclass(frozen=True, eq=False)
class Rings:
    """`points` (n, 2) mm, ring after ring, without repeated ends; ring i is `points[starts[i]:starts[i + 1]]`."""

    points: Points
    starts: Indices

    @classmethod
    def of(cls, rings: Sequence[Points]) -> "Rings":
        points = np.vstack(rings) if rings else np.zeros((0, 2))
        return cls(points, np.concatenate([[0], np.cumsum([len(ring) for ring in rings], dtype=np.int64)]).astype(np.int64))

    def __len__(self) -> int:
        return len(self.starts) - 1

    def __getitem__(self, index: int) -> Points:
        return self.points[self.starts[index] : self.starts[index + 1]]

    def each(self) -> list[Points]:
        return [self[index] for index in range(len(self))]

    @cached_property
    def owner(self) -> Indices:
        """(n,) the ring that each point belongs to."""
        return np.repeat(np.arange(len(self)), np.diff(self.starts))

    @cached_property
    def following(self) -> Indices:
        """(n,) index of the next point round the same ring."""
        after = np.arange(1, len(self.points) + 1)
        filled = np.diff(self.starts) > 0
        after[self.starts[1:][filled] - 1] = self.starts[:-1][filled]
        return after

    @cached_property
    def preceding(self) -> Indices:
        before = np.empty_like(self.following)
        before[self.following] = np.arange(len(self.points))
        return before

    @cached_property
    def areas(self) -> Points:
        """(r,) signed mm2, positive when a ring turns from x to y."""
        ahead = self.points[self.following]
        doubled = np.bincount(self.owner, self.points[:, 0] * ahead[:, 1] - ahead[:, 0] * self.points[:, 1], len(self))
        return np.asarray(doubled / 2, dtype=np.float64)

    @cached_property
    def perimeters(self) -> Points:
        """(r,) mm."""
        summed = np.bincount(self.owner, lengths(self.points[self.following] - self.points), len(self))
        return np.asarray(summed, dtype=np.float64)

    def polygons(self) -> Areas:
        """(r,) one shapely polygon per ring, as it turns, valid or not."""
        points, owner = self._closed
        shapes: Areas = shapely.polygons(shapely.linearrings(points, indices=owner))
        return shapes

    def thinned(self, tolerance_mm: float) -> "Rings":
        """The same rings without points that lie within the tolerance of what is left (Douglas-Peucker); one never falls to a line."""
        points, owner = self._closed
        lines = shapely.linestrings(points, indices=owner)
        thin = shapely.simplify(lines, tolerance_mm, preserve_topology=False)
        flat = shapely.get_num_coordinates(thin) < 4
        thin[flat] = lines[flat]
        ends = np.cumsum(shapely.get_num_coordinates(thin))
        return Rings(np.delete(shapely.get_coordinates(thin), ends - 1, axis=0), np.concatenate([[0], ends - np.arange(1, len(ends) + 1)]))

    @property
    def _closed(self) -> tuple[Points, Indices]:
        """The points with each ring's first one again as its last, and the ring that each belongs to."""
        order = np.insert(np.arange(len(self.points)), self.starts[1:], self.starts[:-1])
        return self.points[order], np.insert(self.owner, self.starts[1:], np.arange(len(self)))
