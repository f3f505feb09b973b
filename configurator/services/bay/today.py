"""The bay today: which cars are in or come in, and the next thing to do on each."""

from dataclasses import dataclass
from datetime import date, datetime

from configurator.domain.bay.job import Job
from configurator.domain.bay.tasks import Task, next_task
from configurator.domain.desk import Request
from configurator.domain.review import Actor, State
from configurator.domain.staff import User
from configurator.domain.work import Kind, Role
from configurator.services.bay.office import Office
from configurator.services.ports import Work

HANDS: dict[Actor, frozenset[Role]] = {
    Actor.OWNER: frozenset(Role),
    Actor.ADVISOR: frozenset({Role.ADVISOR, Role.INSTALLER}),
    Actor.INSTALLER: frozenset({Role.INSTALLER}),
    Actor.ASSEMBLER: frozenset({Role.ASSEMBLER}),
}
"""Whose work somebody sees as their own next thing."""


@dataclass(frozen=True)
class Appointment:
    """When a car is brought, when it goes back, and in which bay, as far as the calendar knows."""

    drop_off: datetime
    hand_back: datetime
    bay: int | None = None


@dataclass(frozen=True)
class CarToday:
    """A car that is in the bay (`job`) or comes in (`job` None). `is_mine`: this person has worked on it or is planned for it."""

    request: Request
    job: Job | None
    appointment: Appointment | None
    next: Task | None
    is_mine: bool

    @property
    def done(self) -> tuple[int, int]:
        """Finished and all tasks that somebody has to do."""
        asked = [task for task in self.job.tasks if task.is_asked_for] if self.job else []
        return sum(task.is_finished for task in asked), len(asked)

    def parts(self, kind: Kind) -> tuple[Task, ...]:
        """The tasks that take parts off, or put them back."""
        return tuple(task for task in self.job.tasks if task.kind is kind) if self.job else ()


def cars(user: User, office: Office, work: Work, *, day: date) -> tuple[CarToday, ...]:
    """Cars in the bay, then those that are expected on this day or should have come before."""
    found = []
    for request in work.bay.requests_in((State.IN_BAY, State.SCHEDULED)):
        appointment = appointment_of(request, work)
        job = work.bay.job(request.id) if request.state is State.IN_BAY else None
        if job is None and appointment is not None and appointment.drop_off.astimezone(office.calendar.zone).date() > day:
            continue
        roles = HANDS.get(user.role, frozenset())
        coming = next_task(job.tasks, roles=roles, user_id=user.id) if job else None
        found.append(CarToday(request, job, appointment, coming, _is_mine(user, job, coming)))
    return tuple(sorted(found, key=lambda car: car.job is None))


def appointment_of(request: Request, work: Work) -> Appointment | None:
    """The request's place in the calendar; without one, the dates of its estimate."""
    booking = work.bookings.of(request)
    if booking is not None and booking.holds:
        return Appointment(booking.place.drop_off, booking.place.typical_end, booking.place.bay)
    stay = request.estimate.typical
    return Appointment(stay.drop_off, stay.hand_back) if stay else None


def _is_mine(user: User, job: Job | None, coming: Task | None) -> bool:
    if job is None:
        return user.role is not Actor.ASSEMBLER
    touched = any(task.finished_by_id == user.id or any(timer.user_id == user.id for timer in task.timers) for task in job.tasks)
    return touched or coming is not None
