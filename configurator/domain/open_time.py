"""Open time: how much work can be done before an instant, and by when a given amount of it is done.

Instants are whole seconds since 1970-01-01T00:00Z, amounts whole seconds of work. Integers keep every sum exact, so that a
schedule's order relations (more work is never done earlier) hold to the second, not just within rounding.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import accumulate

from configurator.errors import TucklineError


class OutOfHorizon(TucklineError):
    """The amount asked for isn't done before the last window that is known."""

    code = "out_of_horizon"


@dataclass(frozen=True)
class Window:
    """From `start` to `end` (instants, end not included) `rate` pieces of work can go on side by side."""

    start: int
    end: int
    rate: int = 1


@dataclass(frozen=True)
class OpenTime:
    """Windows in order and apart. `before[i]` is the work that can be done before window i.

    `done` (time to work) and `finish` (work to time) are inverse to each other and both never fall, whichever argument grows.
    """

    starts: tuple[int, ...]
    ends: tuple[int, ...]
    rates: tuple[int, ...]
    before: tuple[int, ...]

    def done(self, instant: int) -> int:
        """Seconds of work that can be done before `instant`, counted from the first window."""
        at = bisect_right(self.starts, instant) - 1
        if at < 0:
            return 0
        return self.before[at] + (min(instant, self.ends[at]) - self.starts[at]) * self.rates[at]

    def finish(self, start: int, work: int) -> int:
        """The earliest instant by which `work` seconds begun at `start` can be done; `start` itself when there are none.

        Work that ends exactly when a window does ends there, not at the next opening. Raises OutOfHorizon.
        """
        if work == 0:
            return start
        target = self.done(start) + work
        at = bisect_left(self.before, target) - 1
        if at < 0:
            raise OutOfHorizon
        end = self.starts[at] - (self.before[at] - target) // self.rates[at]
        if end > self.ends[at]:
            raise OutOfHorizon
        return end

    def next_open(self, instant: int) -> int:
        """The earliest instant at or after `instant` inside a window (a window's end is outside). Raises OutOfHorizon."""
        at = bisect_right(self.ends, instant)
        if at == len(self.ends):
            raise OutOfHorizon
        return max(instant, self.starts[at])

    def holds(self, instant: int) -> bool:
        """Whether `instant` lies in a window, its first and last moment included."""
        at = bisect_left(self.ends, instant)
        return at < len(self.ends) and self.starts[at] <= instant


def open_time(windows: Iterable[Window]) -> OpenTime:
    """Windows with rate 0 or no length are left out; the rest must be in order and apart."""
    kept = [window for window in windows if window.rate > 0 and window.end > window.start]
    totals = accumulate(((window.end - window.start) * window.rate for window in kept), initial=0)
    return OpenTime(
        starts=tuple(window.start for window in kept),
        ends=tuple(window.end for window in kept),
        rates=tuple(window.rate for window in kept),
        before=tuple(totals)[: len(kept)],
    )
