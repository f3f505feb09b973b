"""Where an outline lies in each of many rows: exact left and right ends, all rows at once."""

import numpy as np
from numpy.typing import NDArray

from configurator.domain.film_plan.records import Ring

TOUCH_MM = 1e-6
"""An outline that only touches a row's border isn't in the row."""

Spans = NDArray[np.float64]
"""(k, 3): row, left and right end in mm of one stretch of the outline in that row; sorted, stretches of a row apart."""


def row_spans(ring: Ring, rows: int, height_mm: float) -> Spans:
    """`ring` (n, 2), a simple outline with y >= 0, in rows of `height_mm` from y = 0 on.

    What lies in a row is bounded by parts of the outline's own segments and, along the row's two borders, by the stretches where the
    border is inside. So the x that these take, joined where they overlap, are the x of the outline in that row.
    """
    floor = np.arange(rows, dtype=np.float64) * height_mm
    low, high = floor + TOUCH_MM, floor + (height_mm - TOUCH_MM)
    start, end = ring, np.roll(ring, -1, axis=0)
    return _joined(np.concatenate([_of_segments(start, end, low, high), _along_borders(start, end, low), _along_borders(start, end, high)]))


def in_rows_twice_as_high(spans: Spans) -> Spans:
    """The spans in rows of double height: rows 0 and 1 become row 0, and so on."""
    return _joined(np.column_stack([spans[:, 0] // 2, spans[:, 1:]]))


def end_for_end(spans: Spans, rows: int, length_mm: float) -> Spans:
    """The spans of the same outline turned by 180 degrees, its box from 0 to `length_mm` and of so many `rows`."""
    return np.column_stack([rows - 1 - spans[:, 0], length_mm - spans[:, 2], length_mm - spans[:, 1]])[::-1]


def _of_segments(start: Ring, end: Ring, low: NDArray[np.float64], high: NDArray[np.float64]) -> Spans:
    """What each segment takes of every row that it passes through."""
    below, above = np.minimum(start[:, 1], end[:, 1]), np.maximum(start[:, 1], end[:, 1])
    segment, row = np.nonzero((below[:, None] < high) & (above[:, None] > low))
    (x0, y0), (x1, y1) = start[segment].T, end[segment].T
    rise = y1 - y0
    level = rise == 0
    slope = np.where(level, 0.0, (x1 - x0) / np.where(level, 1.0, rise))
    first = np.where(level, x0, x0 + slope * (np.clip(y0, low[row], high[row]) - y0))
    last = np.where(level, x1, x0 + slope * (np.clip(y1, low[row], high[row]) - y0))
    return np.column_stack([row, np.minimum(first, last), np.maximum(first, last)])


def _along_borders(start: Ring, end: Ring, heights: NDArray[np.float64]) -> Spans:
    """Where the level line of each row is inside: between its first and second crossing with the outline, its third and fourth ..."""
    row, segment = np.nonzero((start[:, 1] <= heights[:, None]) != (end[:, 1] <= heights[:, None]))
    (x0, y0), (x1, y1) = start[segment].T, end[segment].T
    x = x0 + (heights[row] - y0) * (x1 - x0) / (y1 - y0)
    order = np.lexsort((x, row))
    return np.column_stack([row[::2], x[order][::2], x[order][1::2]])


def _joined(spans: Spans) -> Spans:
    """Stretches of one row that overlap become one."""
    order = np.lexsort((spans[:, 1], spans[:, 0]))
    row, left, right = spans[order].T
    apart = row * (2 * float(right.max()) + 1.0)
    """Added to each x, so that rows follow one another along one line and a running maximum never reaches into the next."""
    reach = np.maximum.accumulate(right + apart)
    begins = np.concatenate([[True], (left + apart)[1:] > reach[:-1]])
    first = np.nonzero(begins)[0]
    last = np.append(first[1:], len(row)) - 1
    return np.column_stack([row[first], left[first], reach[last] - apart[last]])
