"""Runs the nesting solver as a child process, for so long and no longer."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from configurator.domain.film_plan.deep import DEEP_FAILED, DEEP_MISSING, DEEP_OUT_OF_TIME, Answer, Job, Solved
from configurator.services.film.nesting_worker import MISSING

ROOT = Path(__file__).parents[3]
WORKER = (sys.executable, "-m", "configurator.services.film.nesting_worker")


def solve_in_child(jobs: Sequence[Job], seconds: float, *, command: Sequence[str] = WORKER) -> Answer:
    """The shortest strip found for each job within `seconds` of wall time.

    The child gets a process group of its own, which is killed as a whole when time is up: what it found until then counts.
    """
    child = subprocess.Popen(  # noqa: S603 - our own interpreter and module
        command,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        cwd=ROOT,
        start_new_session=True,
    )
    late = False
    try:
        output, _ = child.communicate(_question(jobs), timeout=max(seconds, 0.1))
    except subprocess.TimeoutExpired:
        late = True
        _kill_group(child)
        output, _ = child.communicate()
    finally:
        _kill_group(child)
    solved = _solved(output)
    return Answer(solved, _note(child.returncode, late=late, complete=len(solved) == len(jobs)))


def _question(jobs: Sequence[Job]) -> str:
    return json.dumps(
        {
            "jobs": [
                {
                    "id": job.id,
                    "width": job.strip_width_mm,
                    "seconds": job.seconds,
                    "seed": job.seed,
                    "items": [{"id": item.id, "outline": item.outline.tolist(), "angles": list(item.angles_deg)} for item in job.items],
                }
                for job in jobs
            ]
        }
    )


def _solved(output: str) -> dict[str, Solved]:
    """The shortest answer per job; a line cut off by the kill, or one that makes no sense, is passed over."""
    best: dict[str, Solved] = {}
    for line in output.splitlines():
        try:
            answer = json.loads(line)
            found = Solved(float(answer["length"]), {id: (float(a), float(x), float(y)) for id, (a, x, y) in answer["places"].items()})
        except (ValueError, KeyError, TypeError, AttributeError):
            continue
        if answer["job"] not in best or found.length_mm < best[answer["job"]].length_mm:
            best[answer["job"]] = found
    return best


def _note(exit_code: int, *, late: bool, complete: bool) -> str | None:
    if exit_code == MISSING:
        return DEEP_MISSING
    if complete:
        return None
    return DEEP_OUT_OF_TIME if late else DEEP_FAILED


def _kill_group(child: subprocess.Popen[str]) -> None:
    """Kills the child and whatever it started; one that is gone already is left in peace."""
    if child.poll() is None:
        try:
            os.killpg(child.pid, signal.SIGKILL)
        except ProcessLookupError:
            return
