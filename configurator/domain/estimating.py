"""The whole chain in one call: selection -> body -> scope -> film -> operations -> timeline -> price, with its explanation."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from configurator.domain.body.build import build_body
from configurator.domain.body.records import Body, Size
from configurator.domain.cautions import cautions
from configurator.domain.costing import costs
from configurator.domain.estimate import Estimate
from configurator.domain.film_plan.live import film_use
from configurator.domain.lamps import NOTHING_MEASURED, Measured, lamp_light
from configurator.domain.light import LampLight
from configurator.domain.message import Message
from configurator.domain.operations import operations
from configurator.domain.price import price, price_of_nothing
from configurator.domain.price_book import Customer
from configurator.domain.resolving import resolve
from configurator.domain.scheduling import timeline
from configurator.domain.scope import Scope
from configurator.domain.scoping import scope
from configurator.domain.selection import LampFilm, Package, Selection
from configurator.domain.shop import Shop
from configurator.domain.work import Operation

NOTHING_CHOSEN, NOTHING_COVERABLE = "nothing_chosen", "nothing_coverable"


@dataclass(frozen=True)
class Knowledge:
    """What is known beyond the selection: whether the car (or its photographs) has been looked at, who buys, what was measured."""

    car_seen: bool = False
    customer: Customer = Customer.CONSUMER
    measured: Measured = NOTHING_MEASURED


NOTHING_KNOWN = Knowledge()


@dataclass(frozen=True, eq=False)
class Worked:
    """A selection as far as its work: resolved, on its body, scoped, with its operations."""

    selection: Selection
    body: Body
    scope: Scope
    operations: tuple[Operation, ...]


def body_of(selection: Selection, shop: Shop) -> Body:
    """The body of a resolved selection (bodies are remembered)."""
    vehicle = selection.vehicle
    if not isinstance(vehicle.size, Size) or vehicle.features is None or vehicle.fuel_door is None:
        raise ValueError("the selection must be resolved first")
    return build_body(shop.styles[vehicle.body], size=vehicle.size, features=vehicle.features, fuel_door=vehicle.fuel_door)


def work(selection: Selection, shop: Shop) -> Worked:
    """The chain up to the operations. Raises InvalidInput with every fault of the selection.

    A drop-off on a closed day moves to the next day on which a car can be brought; fresh paint is judged on that day.
    """
    resolved = resolve(selection, shop.styles, shop.book)
    asked = resolved.drop_off or shop.book.hours.reference_drop_off
    resolved = replace(resolved, drop_off=shop.calendar.first_open_day(asked))
    body = body_of(resolved, shop)
    scoped = scope(resolved, body, shop.book)
    return Worked(resolved, body, scoped, operations(scoped, resolved, shop.book))


def estimate(selection: Selection, shop: Shop, known: Knowledge = NOTHING_KNOWN) -> Estimate:
    """The estimate of a selection as it came in (resolving is part of it). The same selection and shop give the same answer.

    Raises InvalidInput with every fault of the selection, and for a drop-off after which the job can't be finished in the
    calendar's years.
    """
    job = work(selection, shop)
    if job.scope.is_empty:
        return _nothing(job, selection, shop, known)
    book, chosen = shop.book, job.selection
    film = film_use(job.scope, job.body, book, shop.film_model)
    spent = costs(job.scope, job.operations, film, book, car_seen=known.car_seen)
    priced = price(spent, book, package=chosen.package, customer=known.customer)
    light = lamp_light(job.scope, chosen, shop.rules, book, known.measured)
    return Estimate(
        selection=chosen,
        body=job.body,
        price_book=book.version,
        scope=job.scope,
        film=film,
        operations=job.operations,
        timeline=timeline(job.operations, shop.calendar, chosen.drop_off or book.hours.reference_drop_off, book),
        price=priced.price,
        labour_hours=priced.labour_hours,
        light=light,
        lines=priced.lines,
        drivers=priced.drivers,
        cautions=cautions(job.scope, chosen, light, shop.cautions),
        assumptions=(*_assumptions(selection, job, known), *_of_parts(job.scope, light)),
    )


def _nothing(job: Worked, asked: Selection, shop: Shop, known: Knowledge) -> Estimate:
    """The estimate of a selection that leaves nothing to do: nothing chosen, or nothing of what was chosen takes film."""
    light = lamp_light(job.scope, job.selection, shop.rules, shop.book, known.measured)
    chosen = job.selection.package is not Package.NONE or job.selection.add
    return Estimate(
        selection=job.selection,
        body=job.body,
        price_book=shop.book.version,
        scope=job.scope,
        film=(),
        operations=(),
        timeline=None,
        price=price_of_nothing(shop.book, known.customer),
        labour_hours={"typical": 0.0, "high": 0.0},
        light=light,
        lines=(),
        drivers=(),
        cautions=cautions(job.scope, job.selection, light, shop.cautions),
        assumptions=(*_assumptions(asked, job, known), *_of_parts(job.scope, light)),
        reason=NOTHING_COVERABLE if chosen else NOTHING_CHOSEN,
    )


# -- what was assumed


def _assumptions(asked: Selection, job: Worked, known: Knowledge) -> Iterator[Message]:
    """What the answer takes for granted because nobody said it."""
    vehicle, chosen = asked.vehicle, job.selection
    if any(length is None for length in vars(vehicle.size).values()):
        yield Message("size_assumed", {"body": vehicle.body, **vars(chosen.vehicle.size)})
    if vehicle.features is None:
        yield Message("features_assumed", {"body": vehicle.body})
    yield from _suggested_lamps(asked, chosen)
    if asked.region is None and chosen.region is not None:
        yield Message("region_assumed", {"region": chosen.region})
    if job.operations:
        yield from _assumed_day(asked, chosen)
        if not known.car_seen:
            yield Message("car_not_seen")


def _assumed_day(asked: Selection, chosen: Selection) -> Iterator[Message]:
    if chosen.drop_off is None:
        return
    if asked.drop_off is None:
        yield Message("drop_off_assumed", {"day": chosen.drop_off})
    elif asked.drop_off != chosen.drop_off:
        yield Message("drop_off_moved", {"asked": asked.drop_off, "day": chosen.drop_off})


def _suggested_lamps(asked: Selection, chosen: Selection) -> Iterator[Message]:
    for group, film in chosen.lamps.items():
        if group not in asked.lamps and film is not LampFilm.NONE:
            yield Message("lamp_suggested", {"lamp": group, "film": str(film), "package": str(chosen.package)})


def _of_parts(scope: Scope, light: Iterable[LampLight]) -> tuple[Message, ...]:
    """What scope and light assumed, each said once."""
    said: list[Message] = []
    for message in (*scope.assumptions, *(message for row in light for message in row.assumptions)):
        if message not in said:
            said.append(message)
    return tuple(said)
