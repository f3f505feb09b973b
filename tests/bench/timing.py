"""Ratios instead of seconds: every figure is measured beside a baseline in the same run, so that machines can be compared."""

import time
from collections.abc import Callable
from statistics import median

Figures = dict[str, float]


def cpu_ms(run: Callable[[], object], *, times: int = 5) -> float:
    """Median milliseconds of processor time of one run."""
    spent = []
    for _ in range(times):
        start = time.process_time()
        run()
        spent.append((time.process_time() - start) * 1000)
    return median(spent)


def numpy_ms() -> float:
    """The baseline of the geometry and film figures: sorting and summing a million numbers with numpy."""
    import numpy as np

    numbers = np.random.default_rng(1).random(1_000_000)
    return cpu_ms(lambda: np.sort(numbers).cumsum())
