"""The nesting solver in a process of its own: `python -m configurator.services.film.nesting_worker`, jobs on stdin, answers on stdout.

It runs apart because the solver can panic (no ordinary exception), can't be stopped from inside, and writes traces of its own.
One JSON line comes out for every better strip as soon as it is found, so that a parent who runs out of patience has the last one.
"""

import json
import sys
import threading
import time
from collections.abc import Mapping
from typing import Any

POLL_SECONDS = 0.1
MISSING = 3
"""Exit code when the solver isn't installed."""


def main() -> int:
    """Reads all jobs, answers them one after the other. Returns the exit code."""
    try:
        import spyrrow  # noqa: F401
    except ImportError:
        return MISSING
    for job in json.load(sys.stdin)["jobs"]:
        _answer(job)
    return 0


def _answer(job: Mapping[str, Any]) -> None:
    from spyrrow import ProgressQueue, ReportType

    progress, failure = ProgressQueue(), threading.Event()
    thread = threading.Thread(target=_solve, args=(job, progress, failure), daemon=True)
    thread.start()
    feasible = (ReportType.ExplFeas, ReportType.CmprFeas, ReportType.Final)
    running = True
    while running:
        running = thread.is_alive()
        found = [solution for kind, solution in progress.drain() if kind in feasible]
        if found:
            _say(job["id"], min(found, key=lambda solution: solution.width))
        time.sleep(POLL_SECONDS if running else 0)
    if failure.is_set():
        print(json.dumps({"job": job["id"], "failed": True}), flush=True)


def _solve(job: Mapping[str, Any], progress: Any, failure: threading.Event) -> None:
    from spyrrow import Item, StripPackingConfig, StripPackingInstance

    try:
        items = [Item(item["id"], [tuple(point) for point in item["outline"]], 1, item["angles"]) for item in job["items"]]
        config = StripPackingConfig(early_termination=False, total_computation_time=job["seconds"], seed=job["seed"], num_workers=1)
        StripPackingInstance(job["id"], job["width"], items).solve(config, progress)
    except BaseException:  # the solver panics with something that is no Exception
        failure.set()


def _say(job: str, solution: Any) -> None:
    places = {item.id: [item.rotation, *item.translation] for item in solution.placed_items}
    print(json.dumps({"job": job, "length": solution.width, "places": places}), flush=True)


if __name__ == "__main__":
    sys.exit(main())
