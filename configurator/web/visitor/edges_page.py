"""What the Edges step shows: three kinds of edge with price, hours and days, and what comes off for hidden ones."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from configurator.domain.body.records import Body
from configurator.domain.price_book import PriceBook
from configurator.domain.scope import PartOff
from configurator.domain.selection import Treatment
from configurator.web.visitor.card import days_text, hours_text
from configurator.web.visitor.plan import Plan, Plans
from configurator.wording.words import Words

ORDER = (Treatment.TRIMMED, Treatment.WRAPPED, Treatment.HIDDEN)


@dataclass(frozen=True)
class EdgeCard:
    id: str
    name: str
    text: str
    price: str
    time: str
    checked: bool


@dataclass(frozen=True)
class PartRow:
    """A kind of part that comes off: how often, how long off and on, and who does it."""

    number: int
    name: str
    minutes: str
    role: str


@dataclass(frozen=True)
class EdgesPage:
    """`numbers`: panel id -> the numbers of the parts that come off there, as they stand on the drawing."""

    cards: tuple[EdgeCard, ...]
    parts: tuple[PartRow, ...]
    numbers: Mapping[str, str]
    assembler_days: str


def edges_page(plan: Plan, plans: Plans, words: Words) -> EdgesPage:
    """The page for a plan."""
    book = plans.shop.book
    return EdgesPage(
        cards=tuple(_card(treatment, plan, plans, words) for treatment in ORDER),
        parts=_parts(plan, book, words),
        numbers=_numbers(plan),
        assembler_days=_assembler_days(plan, book, words),
    )


def _card(treatment: Treatment, plan: Plan, plans: Plans, words: Words) -> EdgeCard:
    estimate = plans.with_edges(plan, treatment).estimate
    price, timeline = estimate.price, estimate.timeline
    time = ""
    if timeline:
        hours = hours_text(timeline.typical.bay_minutes / 60, timeline.high.bay_minutes / 60, words)
        days = days_text(timeline.typical.days_off_road, timeline.high.days_off_road, words)
        time = words.gettext("%(hours)s in the bay; %(days)s off-road") % {"hours": hours, "days": days}
    return EdgeCard(
        id=treatment.value,
        name=words.name("edges", treatment.value),
        text=_texts(words)[treatment],
        price=words.money_range(price.low, price.high, price.currency) if timeline else "",
        time=time,
        checked=plan.given.edges is treatment,
    )


def _texts(words: Words) -> dict[Treatment, str]:
    return {
        Treatment.TRIMMED: words.gettext(
            "The film stops just inside each edge. A fine line shows where it ends, and nothing comes off the car."
        ),
        Treatment.WRAPPED: words.gettext(
            "The film turns around every edge that can be reached with the parts on. No line on hood, doors and fenders."
        ),
        Treatment.HIDDEN: words.gettext("Parts come off so that the film ends underneath them. The least to see, and the most work."),
    }


def _parts(plan: Plan, book: PriceBook, words: Words) -> tuple[PartRow, ...]:
    off = plan.estimate.scope.parts_off
    counts = Counter(part.part for part in off)
    roles = {part.part: part.role for part in off}
    return tuple(_part(number, part, counts[part], roles[part], book, words) for number, part in enumerate(counts, start=1))


def _numbers(plan: Plan) -> dict[str, str]:
    off = plan.estimate.scope.parts_off
    order = {part: number for number, part in enumerate(Counter(part.part for part in off), start=1)}
    found: dict[str, list[int]] = {}
    for part in off:
        numbers = found.setdefault(_place(part, plan.estimate.body), [])
        if order[part.part] not in numbers:
            numbers.append(order[part.part])
    return {panel: " ".join(map(str, numbers)) for panel, numbers in found.items()}


def _place(part: PartOff, body: Body) -> str:
    """The panel of the drawing that a part is shown on: itself where it is one, else the panel it sits on."""
    return part.id if part.id in body.panels else part.panel


def _part(number: int, part: str, count: int, role: str, book: PriceBook, words: Words) -> PartRow:
    minutes = book.parts[part].off.usual + book.parts[part].on.usual
    name = words.name("part", part)
    return PartRow(
        number=number,
        name=name if count == 1 else words.gettext("%(part)s (%(num)s)") % {"part": name, "num": words.number(count)},
        minutes=words.minutes(minutes) if count == 1 else words.gettext("%(time)s each") % {"time": words.minutes(minutes)},
        role=words.name("role", role),
    )


def _assembler_days(plan: Plan, book: PriceBook, words: Words) -> str:
    """Why hidden edges take days: when the person who takes parts off is in; empty when that is every open day."""
    if not any(part.role == "assembler" for part in plan.estimate.scope.parts_off):
        return ""
    days = sorted({day for person in book.hours.people if "assembler" in person.roles for day in person.weekdays})
    if set(days) >= {span.weekday for span in book.hours.open}:
        return ""
    text = words.gettext("The person who takes parts off is here on %(days)s. That is why hidden edges can add days.")
    return text % {"days": words.list([words.weekday(day) for day in days])}
