"""Minutes of real work from timers: breaks and nights are taken out, and two clocks on one task are never averaged."""

from bisect import bisect_left
from collections.abc import Iterable, Mapping
from datetime import datetime

from configurator.domain.bay.tasks import Timer
from configurator.domain.calendar import ShopCalendar
from configurator.errors import TucklineError


class TimersDiffer(TucklineError):
    """Several people timed one task over the same while. `minutes` by name; only they know whether it was work of one or of both."""

    code = "timers_differ"

    def __init__(self, key: str, minutes: Mapping[str, float]) -> None:
        self.key, self.minutes = key, dict(minutes)
        super().__init__(f"{key}: {len(self.minutes)} timers")


def worked_minutes(start: datetime, end: datetime, calendar: ShopCalendar) -> float:
    """Minutes of a stretch without the closed times that lie wholly inside it.

    Somebody who starts before the break and stops after it had the break; somebody who starts or stops in a closed time was
    plainly at work then, so that time counts.
    """
    if end <= start:
        return 0.0
    whole = (end.timestamp() - start.timestamp()) / 60  # not `end - start`: within one zone that would be wall-clock time
    shop = calendar.diary(start.astimezone(calendar.zone).date()).shop
    first, last = int(start.timestamp()), int(end.timestamp())
    at = bisect_left(shop.ends, first)
    closed = sum(opens - shuts for shuts, opens in zip(shop.ends[at:], shop.starts[at + 1 :], strict=False) if opens <= last)
    return whole - closed / 60


def measured(key: str, timers: Iterable[Timer], now: datetime, calendar: ShopCalendar) -> float | None:
    """Minutes of all timers of a task, those that run counted up to now; None without a timer.

    People who took over from each other add up. Raises TimersDiffer where two worked over the same while and their clocks differ.
    """
    known = tuple(timers)
    if not known:
        return None
    by_name: dict[str, float] = {}
    for timer in known:
        worked = worked_minutes(timer.started_at, timer.stopped_at or now, calendar)
        by_name[timer.name] = by_name.get(timer.name, 0.0) + worked
    if len(by_name) > 1 and _overlap(known, now):
        raise TimersDiffer(key, by_name)
    return sum(by_name.values())


def _overlap(timers: tuple[Timer, ...], now: datetime) -> bool:
    """Whether two people's stretches share time."""
    spans = sorted((timer.started_at, timer.stopped_at or now, timer.user_id) for timer in timers)
    return any(later[0] < earlier[1] and later[2] != earlier[2] for place, earlier in enumerate(spans) for later in spans[place + 1 :])
