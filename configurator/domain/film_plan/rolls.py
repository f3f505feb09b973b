"""Rolls to cut from, and what film costs."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from configurator.domain.film_plan.nesting import Run
from configurator.domain.film_plan.records import FilmPlan, RollPlan
from configurator.domain.price_book import PriceBook
from configurator.errors import Fault, TucklineError


@dataclass(frozen=True)
class StockRoll:
    """A roll or offcut to cut from. `left_mm` None: as much as it takes. `id` names it where the shop keeps track.

    An offcut has a price too: film that can be used for the next job isn't free.
    """

    film: str
    width_mm: float
    cost_per_m: Decimal
    left_mm: float | None = None
    id: str | None = None

    def holds(self, length_mm: float) -> bool:
        return self.left_mm is None or length_mm <= self.left_mm

    def cost(self, length_mm: float) -> Decimal:
        return Decimal(str(round(length_mm, 3))) / 1000 * self.cost_per_m

    def plan(self, run: Run) -> RollPlan:
        """`run` cut from this roll."""
        return RollPlan(self.film, self.width_mm, run.length_mm, run.placements, stock=self.id, left_mm=self.left_mm)


@dataclass(frozen=True)
class Effort:
    """`steps` of work for each film; `two_widths`: whether cutting from two widths is looked into."""

    steps: int
    two_widths: bool = False


class NotEnoughFilm(TucklineError):
    """The rolls at hand don't take all pieces of a film: too short together, or too narrow for one of them."""

    code = "not_enough_film"

    def __init__(self, film: str) -> None:
        self.fault = Fault("rolls", "not_enough_film", {"film": film})
        super().__init__(film)


def stock_of(book: PriceBook) -> tuple[StockRoll, ...]:
    """The widths in the price book, each without end."""
    return tuple(StockRoll(film.id, roll.width_mm, roll.cost_per_m) for film in book.films.values() for roll in film.rolls)


def film_cost(plan: FilmPlan, stock: Iterable[StockRoll]) -> Decimal:
    """What the film of a plan costs (a comparison, not a price)."""
    rolls = {(roll.film, roll.width_mm, roll.id): roll for roll in stock}
    return sum((rolls[roll.film, roll.roll_width_mm, roll.stock].cost(roll.length_mm) for roll in plan.rolls), Decimal(0))
