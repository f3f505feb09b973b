"""The bay today: my cars, the next thing on each, one big button. An assembler sees what comes off and what goes back on."""

from dataclasses import dataclass

from flask import Blueprint, render_template, request, url_for

from configurator.domain.bay.tasks import Task, is_ready
from configurator.domain.staff import Right
from configurator.domain.work import Kind, Role
from configurator.services.bay.ordering import orders
from configurator.services.bay.today import CarToday, cars
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.staff.bay.frame import car_title, office, picture
from configurator.web.staff.guard import needs, user
from configurator.web.wiring import wired
from configurator.wording.task_names import way_title
from configurator.wording.words import Words


@dataclass(frozen=True)
class CarRow:
    """One car in words. `href` is where its big button leads; `is_next` marks the one to go on with."""

    reference: str
    car: str
    where: str
    next: str
    stop: bool
    done: int
    all: int
    share: int
    href: str
    button: str
    is_running: bool
    picture: object


@needs(Right.BAY_PARTS)
def today() -> str:
    """The page, by what the person may do."""
    say = words()
    now = office().shop_now()
    with wired().store.reading() as work:
        found = cars(user(), office(), work, day=now.date())
    if not user().may(Right.BAY):
        return _for_assembler(found, say)
    whose = request.args.get("whose", "mine")
    shown = [car for car in found if whose == "everyone" or car.is_mine]
    with wired().store.reading() as work:
        coming = orders(work)
    return render_template(
        "staff/bay/today.html",
        rows=tuple(_row(car, say) for car in shown),
        whose=whose if whose == "everyone" else "mine",
        others=len(found) - len(shown),
        coming=len(coming),
        today=say.date(now.date(), "full"),
    )


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/bay", "bay", today)


def _for_assembler(found: tuple[CarToday, ...], say: Words) -> str:
    """Parts only: no name, no price, no other day."""
    inside = [car for car in found if car.job is not None]
    return render_template(
        "staff/bay/today_parts.html",
        off=tuple(row for car in inside if (row := _parts_row(car, Kind.PARTS_OFF, say))),
        on=tuple(row for car in inside if (row := _parts_row(car, Kind.PARTS_ON, say))),
        today=say.date(office().shop_now().date(), "full"),
    )


def _row(car: CarToday, say: Words) -> CarRow:
    kept, job = car.request, car.job
    done, every = car.done
    address = url_for("staff.bay_car", reference=kept.reference) if job is None else _address(car)
    running = bool(car.next and any(timer.user_id == user().id for timer in car.next.running))
    button = say.gettext("Check in") if job is None else say.gettext("Go on") if running or done else say.gettext("Open")
    return CarRow(
        reference=kept.reference,
        car=car_title(kept, say),
        where=_where(car, say),
        next=_next(car, say),
        stop=False,
        done=done,
        all=every,
        share=round(100 * done / every) if every else 0,
        href=address,
        button=button,
        is_running=running,
        picture=picture(job.selection if job else kept.selection, "left", {}, prefix=f"car-{kept.id}"),
    )


def _parts_row(car: CarToday, kind: Kind, say: Words) -> CarRow | None:
    kept, job = car.request, car.job
    tasks = [task for task in car.parts(kind) if task.role is Role.ASSEMBLER]
    left = [task for task in tasks if not task.is_finished]
    if job is None or not left:
        return None
    ready = (task for task in left if kind is Kind.PARTS_OFF or is_ready(task, job.by_key))
    coming = next(ready, None)
    usual = sum(task.usual for task in left)
    where = ngettext_parts(len(left), say) + " · " + say.gettext("usually %(time)s") % {"time": say.minutes(round(usual))}
    done = len(tasks) - len(left)
    return CarRow(
        reference=kept.reference,
        car=car_title(kept, say),
        where=where,
        next=f"{coming.bag}, {way_title(coming, say, body=job.body)}" if coming else say.gettext("waits for the film"),
        stop=False,
        done=done,
        all=len(tasks),
        share=round(100 * done / len(tasks)),
        href=url_for("staff.bay_parts", reference=kept.reference, way="on" if kind is Kind.PARTS_ON else "off"),
        button=say.gettext("Go on") if done else say.gettext("Open"),
        is_running=bool(done),
        picture=picture(job.selection, "left", {}, prefix=f"{kind.value}-{kept.id}"),
    )


def ngettext_parts(count: int, say: Words) -> str:
    return say.ngettext("%(num)s part", "%(num)s parts", count) % {"num": say.number(count)}


def _address(car: CarToday) -> str:
    """The tab on which the next thing is done."""
    reference, task = car.request.reference, car.next
    if task is None:
        return url_for("staff.bay_checks", reference=reference)
    return task_address(reference, task)


def task_address(reference: str, task: Task) -> str:
    """Where a task is done."""
    if task.is_part:
        return url_for("staff.bay_parts", reference=reference, way="on" if task.kind is Kind.PARTS_ON else "off", _anchor=task.key)
    return url_for("staff.bay_panels", reference=reference, zone=task.zone.value, _anchor=task.key)


def _next(car: CarToday, say: Words) -> str:
    if car.job is None:
        return say.gettext("Check the car in")
    if car.next is not None:
        return way_title(car.next, say, body=car.job.body)
    done, every = car.done
    return say.gettext("Checks and hand-over") if done == every else say.gettext("waits for others")


def _where(car: CarToday, say: Words) -> str:
    appointment, parts = car.appointment, []
    if appointment is None:
        return ""
    if appointment.bay is not None:
        parts.append(say.gettext("Bay %(number)s") % {"number": appointment.bay})
    if car.job is None:
        parts.append(say.gettext("comes %(at)s") % {"at": say.datetime(shop_time(appointment.drop_off), "weekday")})
    else:
        parts.append(say.gettext("back %(at)s") % {"at": say.datetime(shop_time(appointment.hand_back), "weekday")})
    return " · ".join(parts)
