"""A kept request put into words for the staff: what the request page, the preview and the printed pages show."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from configurator.domain.desk import Event, Request
from configurator.domain.estimate import Caution
from configurator.domain.kept_estimate import KeptEstimate, KeptPanel
from configurator.domain.light import LampLight, LightStatus
from configurator.domain.message import Message
from configurator.domain.review import State
from configurator.domain.scope import TreatedEdge
from configurator.web.i18n import words
from configurator.web.range_strips import Strip, axis_over
from configurator.web.wiring import wired
from configurator.wording.ages import age, time_left
from configurator.wording.words import Words

STOPS = (State.RECEIVED, State.IN_REVIEW, State.QUOTED, State.ACCEPTED, State.SCHEDULED, State.IN_BAY, State.HANDED_OVER)
SEVERITIES = ("stop", "care", "info")


@dataclass(frozen=True)
class PanelRow:
    """A covered panel or lamp; `number` is what stands on it in the drawing."""

    number: str
    name: str
    film: str
    area: str
    edges: str
    seam: str
    stretch: str


@dataclass(frozen=True)
class BareRow:
    name: str
    reason: str


@dataclass(frozen=True)
class LineRow:
    label: str
    why: str
    low: str
    typical: str
    high: str
    is_rounding: bool


@dataclass(frozen=True)
class CautionRow:
    """`ticked`: the visitor acknowledged this choice when sending."""

    code: str
    severity: str
    where: str
    text: str
    source: str
    ticked: bool


@dataclass(frozen=True)
class Stop:
    """One stop of the state line. `standing`: done, now or ahead."""

    state: State
    standing: str
    at: str
    who: str


@dataclass(frozen=True)
class DriverRow:
    label: str
    share: str
    width: float


@dataclass(frozen=True)
class RequestReading:
    """Everything about one request, in words."""

    request: Request
    title: str
    facts: tuple[str, ...]
    age: str
    due: str
    is_late: bool
    range: str
    typical: str
    strip: Strip
    panels: tuple[PanelRow, ...]
    bare: tuple[BareRow, ...]
    lines: tuple[LineRow, ...]
    film: tuple[tuple[str, str], ...]
    parts: tuple[str, ...]
    drivers: tuple[DriverRow, ...]
    cautions: Mapping[str, tuple[CautionRow, ...]]
    assumptions: tuple[str, ...]
    days: str
    dates: tuple[str, ...]
    wish: str
    numbers: Mapping[str, str]


def read_request(request: Request) -> RequestReading:
    """The reading in the language of the page at hand."""
    say, kept, now = words(), request.estimate, wired().clock()
    price = kept.price
    numbers = panel_numbers(kept)
    waits = request.state in {State.RECEIVED, State.IN_REVIEW}
    return RequestReading(
        request=request,
        title=f"{request.contact.name} · {car_name(request, say)}",
        facts=tuple(_facts(request, say)),
        age=age(shop_time(request.received_at), shop_time(now), say),
        due=time_left(request.answer_due, now, say) if waits else "",
        is_late=waits and now > request.answer_due,
        range=say.money_range(price.low, price.high, price.currency),
        typical=say.money(price.typical, price.currency, short=True),
        strip=axis_over([price.low, price.high, price.typical * Decimal("1.25"), price.typical * Decimal("0.8")]).strip(
            price.low, price.typical, price.high
        ),
        panels=(*_panel_rows(kept, request.body, numbers, say), *_lamp_rows(kept, numbers, say)),
        bare=tuple(_bare(panel, request.body, say) for panel in kept.bare_for_a_reason),
        lines=tuple(_lines(kept, say)),
        film=tuple(_film(kept, say)),
        parts=tuple(say.name("part", part.part) for part in kept.parts),
        drivers=tuple(_drivers(kept, say)),
        cautions={severity: _cautions(request, severity, say) for severity in SEVERITIES},
        assumptions=tuple(sentence(message, say) for message in kept.assumptions),
        days=_days(kept, say),
        dates=tuple(say.date(day, "weekday") for day in request.dates),
        wish=wish_of(request, say),
        numbers=numbers,
    )


def state_line(request: Request, history: Iterable[Event]) -> tuple[Stop, ...]:
    """The seven stops with who and when; a request that ended elsewhere keeps the stops it reached."""
    say = words()
    reached = {event.target: event for event in history if event.kind == "moved" and event.target is not None}
    last = max((place for place, state in enumerate(STOPS) if state in reached), default=0)
    here = STOPS.index(request.state) if request.state in STOPS else last
    stops = []
    for place, state in enumerate(STOPS):
        event = reached.get(state) if place <= here else None
        standing = "now" if state is request.state else "done" if place <= here else "ahead"
        at = say.datetime(shop_time(event.at), "medium") if event else ""
        stops.append(Stop(state, standing, at, event.by.name if event else ""))
    return tuple(stops)


def panel_numbers(kept: KeptEstimate) -> dict[str, str]:
    """Panel or lamp id -> the number on the drawing and in the table; both lamps of a group carry the group's."""
    numbers: dict[str, str] = {panel.id: str(place) for place, panel in enumerate(kept.covered, start=1)}
    for place, lamp in enumerate(_filmed(kept.light), start=len(numbers) + 1):
        numbers |= {id: str(place) for id in lamp_panels(lamp.lamp)}
    return numbers


def lamp_panels(group: str) -> tuple[str, ...]:
    """The panel ids of a lamp group: `headlamps` are headlamp_left and headlamp_right."""
    return ("windshield",) if group == "windshield" else (f"{group[:-1]}_left", f"{group[:-1]}_right")


def car_name(request: Request, say: Words) -> str:
    """The car as a person would name it: the visitor's own words, else the body style."""
    body = say.name("body", request.body)
    return request.car.description or (f"{body}, {request.car.colour}" if request.car.colour else body)


def wish_of(request: Request, say: Words) -> str:
    """Package and edges in a few words."""
    return f"{say.name('package', request.package)} · {say.name('edges', request.edges)}"


def sentence(message: Message, say: Words) -> str:
    """A kept message in words; one that this version no longer has a sentence for is named by its code."""
    try:
        return say.message(message)
    except LookupError:
        return message.code.replace("_", " ")


def shop_time(moment: datetime) -> datetime:
    """A moment on the shop's own clock."""
    return moment.astimezone(ZoneInfo(wired().shop.book.hours.time_zone))


def _facts(request: Request, say: Words) -> Iterable[str]:
    vehicle = request.selection.get("vehicle")
    known = vehicle if isinstance(vehicle, Mapping) else {}
    yield say.name("body", request.body)
    size = known.get("size")
    if isinstance(size, Mapping):
        lengths = [size[name] for name in ("length_mm", "width_mm", "height_mm") if isinstance(size.get(name), (int, float))]
        if lengths:
            yield " × ".join(say.length(length) for length in lengths)
    yield say.name("paint", str(known.get("paint", "gloss")))
    yield wish_of(request, say)
    yield say.gettext("price book %(version)s") % {"version": request.estimate.price_book}


def _panel_rows(kept: KeptEstimate, body: str, numbers: Mapping[str, str], say: Words) -> Iterable[PanelRow]:
    for panel in kept.covered:
        part_of = say.gettext("%(covered)s of %(area)s") % {"covered": say.area(panel.covered_area_m2), "area": say.area(panel.area_m2)}
        yield PanelRow(
            number=numbers[panel.id],
            name=say.name("panel", panel.id, body=body),
            film=_finishes(panel, say),
            area=say.area(panel.covered_area_m2) if panel.covered_area_m2 > 0.98 * panel.area_m2 else part_of,
            edges=_edges(panel.edges, say),
            seam=say.length(panel.seam_mm) if panel.seam_mm else "",
            stretch=say.percent(panel.difficulty * 0.20),
        )


def _lamp_rows(kept: KeptEstimate, numbers: Mapping[str, str], say: Words) -> Iterable[PanelRow]:
    for lamp in _filmed(kept.light):
        left = say.gettext("%(share)s of the light left") % {"share": say.percent(lamp.transmission)}
        name, film = say.name("lamp", lamp.lamp), say.name("lamp_film", lamp.film)
        yield PanelRow(numbers[lamp_panels(lamp.lamp)[0]], name, film, "", left, "", "")


def _filmed(light: Iterable[LampLight]) -> list[LampLight]:
    return [row for row in light if row.status is not LightStatus.NO_CHANGE and row.film != "none"]


def _finishes(panel: KeptPanel, say: Words) -> str:
    names = [say.name("finish", panel.finish or "")]
    names += [say.name("finish", band.finish) for band in panel.bands if band.finish != panel.finish]
    return say.list(dict.fromkeys(names))


def _edges(edges: tuple[TreatedEdge, ...], say: Words) -> str:
    """The commonest treatment first, the others with where: `wrapped; hidden: along a lamp`."""
    lengths: dict[str, float] = {}
    kinds: dict[str, dict[str, None]] = {}
    for edge in edges:
        treatment = edge.treatment.value
        lengths[treatment] = lengths.get(treatment, 0.0) + edge.length_mm
        kinds.setdefault(treatment, {})[say.name("edge_within", edge.kind.value)] = None
    by_length = sorted(lengths, key=lambda treatment: -lengths[treatment])
    parts = [say.name("treatment", treatment) for treatment in by_length[:1]]
    parts += [f"{say.name('treatment', treatment)}: {', '.join(kinds[treatment])}" for treatment in by_length[1:]]
    return "; ".join(parts)


def _bare(panel: KeptPanel, body: str, say: Words) -> BareRow:
    return BareRow(say.name("panel", panel.id, body=body), sentence(panel.reason, say) if panel.reason else "")


def _lines(kept: KeptEstimate, say: Words) -> Iterable[LineRow]:
    currency = kept.price.currency
    for line in kept.lines:
        low, typical, high = (say.money(amount, currency) for amount in (line.low, line.typical, line.high))
        yield LineRow(say.name("line", line.code), sentence(line.why, say), low, typical, high, line.code == "rounding")


def _film(kept: KeptEstimate, say: Words) -> Iterable[tuple[str, str]]:
    for use in kept.film:
        facts = {"length": say.length(use.length_m * 1000), "width": say.length(use.roll_width_mm)}
        yield say.name("film", use.film), say.gettext("%(length)s of the %(width)s roll") % facts


def _drivers(kept: KeptEstimate, say: Words) -> Iterable[DriverRow]:
    for driver in sorted(kept.drivers, key=lambda driver: -driver.share)[:5]:
        yield DriverRow(say.name("driver", driver.code), say.percent(driver.share), round(driver.share * 100, 1))


def _cautions(request: Request, severity: str, say: Words) -> tuple[CautionRow, ...]:
    return tuple(caution_row(caution, request, say) for caution in request.estimate.cautions if caution.severity == severity)


def caution_row(caution: Caution, request: Request, say: Words) -> CautionRow:
    """One caution in words."""
    where = caution.where or ""
    kind = "lamp" if where == "windshield" or where.endswith("lamps") else "panel"
    name = say.name(kind, where, body=request.body) if where else ""
    return CautionRow(
        caution.code, caution.severity, name, sentence(caution.message, say), caution.source or "", where in request.acknowledged
    )


def _days(kept: KeptEstimate, say: Words) -> str:
    if kept.typical is None or kept.high is None:
        return say.days(0)
    if kept.typical.days_off_road == kept.high.days_off_road:
        return say.days(kept.typical.days_off_road)
    facts = {"typical": say.days(kept.typical.days_off_road), "high": say.number(kept.high.days_off_road)}
    return say.gettext("%(typical)s, up to %(high)s") % facts
