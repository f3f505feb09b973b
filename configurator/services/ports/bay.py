"""Cars in the bay: jobs with their tasks, ticks and film, coverage records, and what can be learnt from them."""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from typing import Protocol

from configurator.domain.bay.checks import Mark
from configurator.domain.bay.coverage import Coverage
from configurator.domain.bay.film import Box, Remake
from configurator.domain.bay.follow_up import FollowUp
from configurator.domain.bay.job import Job, NewJob
from configurator.domain.bay.results import Results
from configurator.domain.bay.tasks import Task
from configurator.domain.desk import Document, Person, Request
from configurator.domain.review import State
from configurator.domain.work import Kind


class Bay(Protocol):
    """Every write of a job begins with `job(..., lock=True)`: two tablets then take turns, whichever database there is."""

    def open(self, request_id: int, new: NewJob, now: datetime) -> None:
        """Opens the job of a checked-in car. Raises AlreadyThere."""

    def job(self, request_id: int, *, lock: bool = False) -> Job | None:
        """The job with everything on it but its cut plan; `lock` holds it until the transaction ends."""

    def cut_plan(self, request_id: int) -> Document | None:
        """The cut plan as it was kept."""

    def requests_in(self, states: Collection[State]) -> Sequence[Request]:
        """Requests in some states, the longest there first."""

    def start_timer(self, task: Task, by: Person, now: datetime) -> None:
        """Starts one person's timer; one that runs goes on."""

    def stop_timers(self, task: Task, now: datetime, *, user_id: int | None = None) -> None:
        """Stops one person's timer on a task, or everybody's."""

    def stop_timers_of(self, user_id: int, now: datetime, *, but: Task) -> None:
        """Stops one person's timers on every task but one, on whatever car."""

    def finish(self, task: Task, *, minutes: float | None, clips: int, by: Person, now: datetime) -> None:
        """It is done."""

    def strike(self, task: Task, *, reason: str, by: Person, now: datetime) -> None:
        """It is left out, and why."""

    def reopen(self, task: Task) -> None:
        """It is to be done again; its timers stay."""

    def put_mark(self, request_id: int, mark: Mark) -> None:
        """Ticks something, or changes what its tick says."""

    def remove_mark(self, request_id: int, kind: str, key: str) -> None:
        """Takes a tick away."""

    def add_box(self, request_id: int, entry: str, box: Box) -> None:
        """Notes a box of film; the same `entry` again changes nothing."""

    def remove_box(self, request_id: int, box_id: int) -> None:
        """Takes a box back."""

    def add_remake(self, request_id: int, entry: str, remake: Remake) -> None:
        """Notes a piece that was cut again; the same `entry` again changes nothing."""

    def close(self, request_id: int, coverage: Coverage, now: datetime) -> None:
        """The car is handed over with this record."""

    def coverage(self, request_id: int) -> Coverage | None:
        """The record of a car that was handed over."""

    def last_minutes(self, body: str, kind: Kind) -> Mapping[str, float]:
        """Panel or part id -> what it took the last time on this body, minutes."""

    def results(self, since: datetime | None = None) -> Results:
        """What finished jobs really took."""

    def add_follow_up(self, follow_up: FollowUp) -> None:
        """Links a new request to the record it came out of."""

    def follow_up(self, request_id: int) -> FollowUp | None:
        """What a request follows up, if it does."""

    def follow_ups_of(self, request_id: int) -> Sequence[FollowUp]:
        """What came out of a record."""
