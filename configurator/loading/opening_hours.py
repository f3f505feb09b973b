"""The part of a price book that says when the shop is open and who works there."""

from datetime import time
from zoneinfo import available_timezones

from configurator.domain.price_book import Hours, OpeningSpan, Person
from configurator.domain.work import Role
from configurator.loading.figures import FigureReader
from configurator.loading.reading import Node

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def read_hours(node: Node, reader: FigureReader) -> Hours:
    """A shop's calendar. Times are the shop's wall clock, in order and apart within each weekday."""
    calendar = ("time_zone", "open", "holiday_country", "holiday_subdivision", "closed")
    fields = node.fields((*calendar, "bays", "installers_per_car", "reference_drop_off", "people"))
    return Hours(
        time_zone=_time_zone(fields["time_zone"]),
        open=_open_spans(fields["open"]),
        holiday_country=fields["holiday_country"].optional_text(),
        holiday_subdivision=fields["holiday_subdivision"].optional_text(),
        closed=tuple(item.day() for item in fields["closed"].items()),
        bays=reader.whole(fields["bays"], "bays", least=1, most=100),
        installers_per_car=reader.whole(fields["installers_per_car"], "people", least=1, most=10),
        people=tuple(_person(item) for item in fields["people"].items()),
        reference_drop_off=fields["reference_drop_off"].day(),
    )


def _time_zone(node: Node) -> str:
    zone = node.text()
    if zone and zone not in available_timezones():
        node.fault("unknown_time_zone")
    return zone


def _open_spans(node: Node) -> tuple[OpeningSpan, ...]:
    days = node.fields((), WEEKDAYS)
    return tuple(span for day in WEEKDAYS if day in days for span in _day_spans(WEEKDAYS.index(day), days[day]))


def _day_spans(weekday: int, node: Node) -> tuple[OpeningSpan, ...]:
    """The open spans of one weekday, in order and apart."""
    spans: list[OpeningSpan] = []
    for item in node.items():
        start, end = _span_times(item)
        if not start < end or (spans and start < spans[-1].end):
            item.fault("times_out_of_order")
        spans.append(OpeningSpan(weekday=weekday, start=start, end=end))
    return tuple(spans)


def _span_times(node: Node) -> tuple[time, time]:
    times = [item.clock_time() for item in node.items()]
    if len(times) != 2:
        node.fault("not_two_times")
        return time(0, 0), time(23, 59)
    return times[0], times[1]


def _person(node: Node) -> Person:
    fields = node.fields(("name", "roles", "weekdays", "days_off"))
    return Person(
        name=fields["name"].text(),
        roles=tuple(item.one_of(tuple(Role)) for item in fields["roles"].items()),
        weekdays=tuple(sorted(WEEKDAYS.index(item.one_of(WEEKDAYS)) for item in fields["weekdays"].items())),
        days_off=tuple(item.day() for item in fields["days_off"].items()),
    )
