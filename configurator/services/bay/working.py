"""Work on the tasks of a job. Each change is one task's own and may come twice: two tablets in the bay don't undo each other."""

from configurator.domain.bay.job import Job
from configurator.domain.bay.tasks import BY_THEMSELVES, Task, TaskState
from configurator.domain.bay.timing import measured
from configurator.domain.desk import Event, Person
from configurator.domain.work import Kind
from configurator.errors import Fault, InvalidInput, TucklineError
from configurator.services.bay.office import NoSuchTask, Office, job_at_work, task_of
from configurator.services.contacts import checked_text
from configurator.services.ports import Work

LONGEST_REASON = 300
MOST_MINUTES = 6000
MOST_CLIPS = 99


class TaskFinished(TucklineError):
    """The task was finished before, by somebody else or on another tablet. `minutes` is what is typed or timed now, if anything."""

    code = "task_finished"

    def __init__(self, task: Task, minutes: float | None = None) -> None:
        self.task, self.minutes = task, minutes
        super().__init__(f"{task.key} is {task.state}")


def start(reference: str, key: str, by: Person, office: Office) -> None:
    """Starts this person's timer; their timer on any other task stops, since nobody is in two places. Raises TaskFinished."""
    with office.store.writing() as work:
        _, job = job_at_work(reference, work)
        task = _workable(job, key)
        if task.state is not TaskState.OPEN:
            raise TaskFinished(task)
        if by.id is not None:
            work.bay.stop_timers_of(by.id, office.now(), but=task)
        work.bay.start_timer(task, by, office.now())


def stop(reference: str, key: str, by: Person, office: Office) -> None:
    """Stops this person's timer; one that doesn't run is left as it is."""
    with office.store.writing() as work:
        _, job = job_at_work(reference, work)
        work.bay.stop_timers(_workable(job, key), office.now(), user_id=by.id)


def finish(reference: str, key: str, by: Person, office: Office, *, minutes: str = "", clips: str = "", settles: bool = False) -> None:
    """Marks a task done with its real minutes: typed, else timed, else unknown.

    Done already with the same minutes (or none typed): nothing changes. Raises TaskFinished when it was done with other minutes,
    or struck; TimersDiffer when two people timed it at once and nothing is typed; `settles` takes the typed minutes whatever there was.
    """
    typed, broken = _typed(minutes, clips)
    with office.store.writing() as work:
        _, job = job_at_work(reference, work)
        task = _workable(job, key)
        if task.state is TaskState.STRUCK or (_says_otherwise(task, typed) and not settles):
            raise TaskFinished(task, typed)
        if task.state is TaskState.DONE and not settles:
            return
        worked = typed if typed is not None else measured(task.key, task.timers, office.now(), office.calendar)
        work.bay.stop_timers(task, office.now())
        work.bay.finish(task, minutes=worked, clips=broken, by=by, now=office.now())


def strike(reference: str, key: str, reason: str, by: Person, office: Office) -> None:
    """Leaves a task out, with a reason. A part that stays on needs no way back, so that task goes too.

    Raises InvalidInput without a reason, TaskFinished when it is done.
    """
    faults: list[Fault] = []
    why = checked_text(reason, "reason", faults, longest=LONGEST_REASON, required=True)
    if faults:
        raise InvalidInput(faults)
    with office.store.writing() as work:
        request, job = job_at_work(reference, work)
        task = _workable(job, key)
        if task.state is TaskState.DONE:
            raise TaskFinished(task)
        for struck in (task, *_way_back(task, job)):
            if struck.state is TaskState.OPEN:
                work.bay.stop_timers(struck, office.now())
                work.bay.strike(struck, reason=why, by=by, now=office.now())
        if task.state is TaskState.OPEN:
            facts = {"operation": task.kind.value, "panel": task.panel or ""}
            work.requests.record(request.id, Event(at=office.now(), by=by, kind="task_struck", reason=why, facts=facts))


def reopen(reference: str, key: str, by: Person, office: Office) -> None:
    """Takes back that a task was done or struck; an open one is left as it is. Signatures that answered for it fall."""
    with office.store.writing() as work:
        _, job = job_at_work(reference, work)
        task = _workable(job, key)
        if task.state is TaskState.OPEN:
            return
        work.bay.reopen(task)
        drop_signatures(job, work)


def drop_signatures(job: Job, work: Work) -> None:
    """What was signed is no longer what is there: the names go."""
    for mark in job.marks:
        if mark.kind == "signature":
            work.bay.remove_mark(job.request_id, mark.kind, mark.key)


def _workable(job: Job, key: str) -> Task:
    task = task_of(job, key)
    if task.kind in BY_THEMSELVES:
        raise NoSuchTask(key)
    return task


def _says_otherwise(task: Task, typed: float | None) -> bool:
    return task.state is TaskState.DONE and typed is not None and typed != task.minutes


def _way_back(task: Task, job: Job) -> tuple[Task, ...]:
    if task.kind is not Kind.PARTS_OFF:
        return ()
    return tuple(other for other in job.tasks if other.kind is Kind.PARTS_ON and other.panel == task.panel)


def _typed(minutes: str, clips: str) -> tuple[float | None, int]:
    faults: list[Fault] = []
    given = _number(minutes, "minutes", MOST_MINUTES, faults)
    broken = _number(clips, "clips", MOST_CLIPS, faults)
    if faults:
        raise InvalidInput(faults)
    return (None if given is None else float(given)), broken or 0


def _number(text: str, path: str, most: int, faults: list[Fault]) -> int | None:
    tidy = text.strip()
    if not tidy:
        return None
    if not (tidy.isascii() and tidy.isdigit() and len(tidy) < 9):
        faults.append(Fault(path, "must_be_whole"))
        return None
    if int(tidy) > most:
        faults.append(Fault(path, "not_between", {"least": 0, "most": most}))
        return None
    return int(tidy)
