"""The calendar: a week of bays and hands, what waits for a place, blocked time, and the address for calendar programs."""

import re
from datetime import date, datetime, time, timedelta
from typing import Any

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from configurator.domain.staff import Right
from configurator.domain.weeks import IsoWeek
from configurator.errors import Fault, InvalidInput
from configurator.services.places import blocking_time, feeds
from configurator.services.places.blocking_time import TimeTaken
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.staff.calendar_week import Proposal, Week, span_words, stay_words, week_of
from configurator.web.staff.guard import needs, person, user
from configurator.web.wiring import wired

YEARS = range(2000, 2200)
"""Years that a calendar may be asked for; at the ends of all time no date can be reckoned with."""
WEEK = re.compile(r"(\d{4})-W(\d{2})", re.ASCII)


@needs(Right.PLAN)
def calendar() -> str:
    """A week."""
    return _page()


@needs(Right.PLAN)
def block_time() -> Response:
    """Blocks a bay, or writes down that somebody isn't in."""
    try:
        _block()
    except InvalidInput as error:
        return _again({fault.path: words().fault(fault) for fault in error.faults}, ())
    except TimeTaken as taken:
        return _again({}, tuple(words().message(message) for message in taken.why), status=409)
    return _to_week(request.form.get("week", ""), "blocked")


@needs(Right.PLAN)
def unblock(block_id: int) -> Response:
    """Takes blocked time back."""
    blocking_time.unblock(block_id, person(), wired().desk())
    return _to_week(request.form.get("week", ""), "blocked")


@needs(Right.PLAN)
def renew_feed() -> Response:
    """A new address for calendar programs; the old one ends."""
    feeds.renew(user().id, wired().desk())
    return _to_week(request.form.get("week", ""), "feed")


@needs(Right.PLAN)
def end_feed() -> Response:
    """No address any more."""
    feeds.end(user().id, wired().desk())
    return _to_week(request.form.get("week", ""), "feed")


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/calendar", "calendar", calendar)
    blueprint.add_url_rule("/calendar/block", "block_time", block_time, methods=["POST"])
    blueprint.add_url_rule("/calendar/unblock/<int:block_id>", "unblock", unblock, methods=["POST"])
    blueprint.add_url_rule("/calendar/feed", "renew_feed", renew_feed, methods=["POST"])
    blueprint.add_url_rule("/calendar/feed/end", "end_feed", end_feed, methods=["POST"])


def asked_week(text: str) -> IsoWeek:
    """The week of an address such as 2027-W11; this week where it names none."""
    found = WEEK.fullmatch(text)
    today = shop_time(wired().clock()).date()
    try:
        known = found is not None and int(found[1]) in YEARS
        return IsoWeek.of(date.fromisocalendar(int(found[1]), int(found[2]), 1)) if found and known else IsoWeek.of(today)
    except ValueError:
        return IsoWeek.of(today)


def week_frame(week: IsoWeek, proposal: Proposal | None = None) -> dict[str, Any]:
    """What the templates of the week need; `rules` places the bars (a policy against inline styles forbids doing it in the markup)."""
    shop = wired().shop
    start, end = (datetime.combine(day, time.min, shop.calendar.zone) for day in (week.days[0], week.days[-1] + timedelta(days=1)))
    with wired().store.reading() as work:
        jobs, blocks = work.bookings.jobs(start, end, wired().desk().today()), work.blocks.between(start, end)
    shown = week_of(week, shop.calendar, jobs, blocks, words(), holidays=shop.closed_days, proposal=proposal)
    return {
        "shown": shown,
        "rules": _rules(shown, wired().clock()),
        "today": shop_time(wired().clock()).date(),
        "before": str(IsoWeek.of(week.days[0] - timedelta(days=7))),
        "after": str(IsoWeek.of(week.days[0] + timedelta(days=7))),
        "stay_words": lambda place: stay_words(place, shop.calendar, words()),
        "span_words": lambda block: span_words(block.start, block.end, shop.calendar, words()),
        "blocks": blocks,
    }


def _page(faults: dict[str, str] | None = None, why: tuple[str, ...] = (), typed: Any = None) -> str:
    week = asked_week((typed or request.args).get("week", ""))
    with wired().store.reading() as work:
        waiting = work.bookings.waiting()
    token = feeds.token_of(user().id, wired().desk())
    return render_template(
        "staff/calendar.html",
        **week_frame(week),
        waiting=waiting,
        hours=wired().shop.book.hours,
        feed=f"{wired().origin}{url_for('calendar_feed.feed', token=token)}" if token else "",
        faults=faults or {},
        why=why,
        typed=typed or {},
    )


def _rules(shown: Week, now: datetime) -> str:
    """Custom properties for everything that has its place by the clock."""
    lines = [f".cal-day-{index}{{--from:{column.left:.3f};--span:{column.width:.3f}}}" for index, column in enumerate(shown.axis.columns)]
    lines += [f".cal-pause-{index}{{--from:{left};--span:{width}}}" for index, (left, width) in enumerate(shown.pauses)]
    lines.append(f".cal-now{{--from:{shown.axis.share(now):.3f}}}")
    for bar in (bar for lane in shown.lanes for bar in lane.bars):
        lines.append(f"#{bar.key}{{--from:{bar.left};--span:{bar.width};--row:{bar.row}}}")
        for part, place in (("settle", bar.settle), ("spare", bar.spare)):
            if place:
                lines.append(f"#{bar.key} .cal-{part}{{--from:{place[0]};--span:{place[1]}}}")
    return "\n".join(lines)


def _block() -> None:
    form, faults = request.form, list[Fault]()
    first, last = (_day(form.get(name, ""), name, faults) for name in ("from", "until"))
    what, reason, desk = form.get("what", ""), form.get("reason", ""), wired().desk()
    if what.startswith("person-"):
        if faults:
            raise InvalidInput(faults)
        blocking_time.note_absence(
            what.removeprefix("person-"), first, last, reason, person(), desk, anyway=form.get("anyway") == "yes"
        )  # fmt: skip
        return
    bay = what.removeprefix("bay-")
    if not (bay.isascii() and bay.isdigit() and len(bay) < 4):
        faults.append(Fault("what", "missing"))
    clocks = [_clock(form.get(name, ""), name, faults) for name in ("from_time", "until_time")]
    if faults:
        raise InvalidInput(faults)
    zone = wired().shop.calendar.zone
    start = datetime.combine(first, clocks[0] or time.min, zone)
    end = datetime.combine(last, clocks[1], zone) if clocks[1] else datetime.combine(last, time.min, zone) + timedelta(days=1)
    blocking_time.block_bay(int(bay), start, end, reason, person(), desk)


def asked_day(text: str) -> date | None:
    """A day that was typed; None for what is none, or lies outside all calendars."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if day.year in YEARS else None


def _day(text: str, path: str, faults: list[Fault]) -> date:
    day = asked_day(text)
    if day is None:
        faults.append(Fault(path, "must_be_a_date" if text else "missing"))
    return day or date.min


def _clock(text: str, path: str, faults: list[Fault]) -> time | None:
    """A time of day; None when nothing is typed: the whole day."""
    try:
        return time.fromisoformat(text).replace(tzinfo=None) if text else None
    except ValueError:
        faults.append(Fault(path, "must_be_a_time"))
        return None


def _again(faults: dict[str, str], why: tuple[str, ...], *, status: int = 422) -> Response:
    """The page once more, with what was typed."""
    return make_response(_page(faults, why, request.form), status)


def _to_week(text: str, anchor: str) -> Response:
    return redirect(url_for("staff.calendar", week=str(asked_week(text)), _anchor=anchor), code=303)
