"""What people in the bay read when something can't be done: what it is now, who did it, and what to press."""

from typing import Any

from flask import Blueprint, Response, make_response, render_template, request

from configurator.domain.bay.tasks import TaskState
from configurator.domain.bay.timing import TimersDiffer
from configurator.services.bay.office import NoSuchTask, NotInBay
from configurator.services.bay.scoped import CannotBeMade
from configurator.services.bay.ticking import NotYetToSign
from configurator.services.bay.working import TaskFinished
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.staff.bay.frame import opened
from configurator.wording.moves import say_next
from configurator.wording.task_names import check_title, way_title


def add_to(blueprint: Blueprint) -> None:
    """Registers the pages."""
    blueprint.register_error_handler(NotInBay, _not_in_bay)
    blueprint.register_error_handler(NoSuchTask, _no_such_task)
    blueprint.register_error_handler(TaskFinished, _task_finished)
    blueprint.register_error_handler(TimersDiffer, _timers_differ)
    blueprint.register_error_handler(NotYetToSign, _not_yet_to_sign)
    blueprint.register_error_handler(CannotBeMade, _cannot_be_made)


def _not_in_bay(error: NotInBay) -> Response:
    say = words()
    texts = [
        say.gettext("This car is not in the bay: it is “%(state)s”.") % {"state": say.name("state", error.state.value)},
        say_next(error.state, say),
    ]
    return _page(409, say.gettext("Not in the bay"), texts)


def _no_such_task(_error: NoSuchTask) -> Response:
    say = words()
    texts = [say.gettext("The work order has nothing like that. It may have changed: open it again.")]
    return _page(404, say.gettext("Not on this work order"), texts)


def _task_finished(error: TaskFinished) -> Response:
    say, task = words(), error.task
    _, job = opened(_reference())
    facts = {
        "task": way_title(task, say, body=job.body),
        "name": task.finished_by,
        "at": say.datetime(shop_time(task.finished_at), "weekday") if task.finished_at else "",
    }
    if task.state is TaskState.STRUCK:
        texts = [say.gettext("%(name)s left it out, %(at)s. The reason:") % facts, task.reason]
        texts.append(say.gettext("If it is to be done after all, take that back first."))
        return _page(409, say.gettext("%(task)s is left out") % facts, texts)
    before = say.minutes(task.minutes) if task.minutes is not None else say.gettext("no minutes")
    texts = [say.gettext("%(name)s finished it, %(at)s.") % facts]
    choices: list[tuple[str, str]] = []
    if error.minutes is not None:
        texts.append(say.gettext("Two figures differ. Only you know which is right; nothing is averaged."))
        choices = [
            (say.gettext("Keep %(minutes)s") % {"minutes": before}, ""),
            (say.gettext("Take %(minutes)s") % {"minutes": say.minutes(error.minutes)}, f"{error.minutes:.0f}"),
        ]
    return _page(409, say.gettext("%(task)s is done already") % facts, texts, choices=choices, key=task.key)


def _timers_differ(error: TimersDiffer) -> Response:
    say = words()
    _, job = opened(_reference())
    title = way_title(job.by_key[error.key], say, body=job.body)
    texts = [
        say.gettext("Two clocks ran on this at the same time. Was it one person's work, or did both work? Nothing is averaged."),
    ]
    choices = [
        (say.gettext("%(minutes)s: %(name)s alone") % {"minutes": say.minutes(round(minutes)), "name": name}, f"{minutes:.0f}")
        for name, minutes in error.minutes.items()
    ]
    both = sum(error.minutes.values())
    choices.append((say.gettext("%(minutes)s: both worked on it") % {"minutes": say.minutes(round(both))}, f"{both:.0f}"))
    return _page(409, say.gettext("%(task)s: which minutes hold?") % {"task": title}, texts, choices=choices, key=error.key)


def _not_yet_to_sign(error: NotYetToSign) -> Response:
    say = words()
    if error.reason == "same_person":
        texts = [say.gettext("Whoever laid film on this car can't be its second pair of eyes. Ask somebody else to look and sign.")]
        return _page(409, say.gettext("Not the same person twice"), texts)
    texts = [say.gettext("These are not ticked yet:"), *(check_title(code, say) for code in error.codes)]
    return _page(409, say.gettext("Not ready to sign"), texts)


def _cannot_be_made(error: CannotBeMade) -> Response:
    say = words()
    texts = [
        say.gettext("What was agreed for this car can't be worked out with today's price book:"),
        *(say.fault(fault) for fault in error.faults),
        say.gettext("Ask the owner: a film must stay in the price book as long as cars are to get it. Nothing that was done is lost."),
    ]
    return _page(409, say.gettext("Not in today's price book"), texts)


def _page(status: int, title: str, texts: list[str], **more: Any) -> Response:
    body = render_template("staff/bay/problem.html", title=title, texts=texts, reference=_reference(), **more)
    return make_response(body, status)


def _reference() -> str:
    return str((request.view_args or {}).get("reference", ""))
