"""Parts and film to order for the cars that come: for all of them together, and for each."""

from dataclasses import dataclass

from flask import Blueprint, render_template

from configurator.domain.bay.ordering import totals, with_reserve
from configurator.domain.staff import Right
from configurator.services.bay.ordering import Expected, order_for, orders
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.staff.bay.frame import car_title, metres, millimetres
from configurator.web.staff.guard import needs
from configurator.web.wiring import wired


@dataclass(frozen=True)
class FilmLine:
    film: str
    width: str
    planned: str
    to_have: str


@dataclass(frozen=True)
class PartLine:
    part: str
    count: int
    clips: int
    tape: int


@dataclass(frozen=True)
class CarOrder:
    reference: str
    car: str
    comes: str
    film: tuple[FilmLine, ...]
    parts: tuple[PartLine, ...]


@needs(Right.BAY)
def to_order() -> str:
    """The page."""
    with wired().store.reading() as work:
        expected = orders(work)
    book = wired().shop.book
    lists = [order_for(one.request, book) for one in expected]
    return render_template(
        "staff/bay/to_order.html",
        totals=tuple(_film(*total) for total in totals(lists)),
        cars=tuple(_car(one) for one in expected),
    )


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/bay/to-order", "bay_to_order", to_order)


def _car(expected: Expected) -> CarOrder:
    say, kept = words(), expected.request
    order = order_for(kept, wired().shop.book)
    return CarOrder(
        reference=kept.reference,
        car=car_title(kept, say),
        comes=say.datetime(shop_time(expected.appointment.drop_off), "weekday") if expected.appointment else "",
        film=tuple(_film(roll.film, roll.roll_width_mm, roll.length_m) for roll in order.rolls),
        parts=tuple(PartLine(say.name("part", part.part), part.count, part.clip_sets, part.tape_sets) for part in order.parts),
    )


def _film(film: str, width_mm: float, length_m: float) -> FilmLine:
    say = words()
    return FilmLine(say.name("film", film), millimetres(width_mm, say), metres(length_m, say), metres(with_reserve(length_m), say))
