"""Anderson's mixing: come to the fixed point of a map in far fewer steps than by applying the map again and again.

Each step takes the combination of the last images that would be the best fixed point if the map were linear (Anderson 1965, "Iterative
procedures for nonlinear integral equations"; for shapes: Peng and others 2018, "Anderson acceleration for geometry optimization and
physics simulation"; both from memory).
"""

from collections import deque

import numpy as np

from configurator.domain.body.records import Points

_WORSE = 2.0
"""A residual this many times the least so far says that the map isn't linear here: what was learnt is dropped."""


class Mixing:
    """The steps of one iteration: ask `next` for the point to apply the map to."""

    def __init__(self, depth: int) -> None:
        """`depth`: how many steps back are combined."""
        self._changes: deque[tuple[Points, Points]] = deque(maxlen=depth)
        self._last: tuple[Points, Points] | None = None
        self._least = np.inf

    def next(self, point: Points, image: Points) -> Points:
        """Where to go on from `point`, whose image under the map is `image` (both (n,))."""
        residual = image - point
        size = float(np.linalg.norm(residual))
        if self._last is not None:
            self._changes.append((residual - self._last[0], image - self._last[1]))
        if size > _WORSE * self._least:
            self._changes.clear()
        self._least = min(self._least, size)
        self._last = residual, image
        if not self._changes:
            return image
        residuals, images = (np.stack(changes) for changes in zip(*self._changes, strict=True))
        weights = np.linalg.lstsq(residuals @ residuals.T, residuals @ residual)[0]
        return np.asarray(image - weights @ images)
