"""The quick planner: all pieces of a job on rolls, in a few milliseconds, the same every time."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

from configurator.domain.film_plan.records import FilmPlan, Piece, RollPlan
from configurator.domain.film_plan.roll_choice import least_cost_rolls
from configurator.domain.film_plan.rolls import Effort, StockRoll, stock_of
from configurator.domain.film_plan.starting_orders import Orders
from configurator.domain.price_book import PriceBook

QUICK = Effort(steps=36_000)
"""What a plan may cost while somebody waits: meant to stay under 15 ms for a full body on a quiet core."""

STEPS_PER_SECOND = 100_000
"""Steps of a thorough plan for each second that a work order's plan may take: a few per cent of what a core does in that time."""


def thorough(seconds: float) -> Effort:
    """What may be spent on choosing widths, and on a plan where no deep solver is at hand, when the whole may take `seconds`."""
    return Effort(steps=max(QUICK.steps, round(STEPS_PER_SECOND * min(seconds, 60.0))), two_widths=True)


def plan_quick(
    pieces: Sequence[Piece],
    book: PriceBook,
    *,
    stock: Sequence[StockRoll] | None = None,
    effort: Effort = QUICK,
    orders: Orders = (),
) -> FilmPlan:
    """A plan of all `pieces`, film by film in the book's order, on the rolls that cost least.

    `stock`: the rolls at hand (default: every width of the book without end). `orders`: those known to be good.
    Raises NotEnoughFilm when a film's rolls don't take all its pieces.
    """
    rolls = stock_of(book) if stock is None else tuple(stock)
    planned: list[RollPlan] = []
    whole = sum(piece.nest_area_mm2 for piece in pieces)
    for film, on_film in by_film(pieces, book).items():
        share = sum(piece.nest_area_mm2 for piece in on_film) / whole
        of_film = replace(effort, steps=round(effort.steps * share))
        planned += least_cost_rolls(on_film, [roll for roll in rolls if roll.film == film], of_film, orders)
    return FilmPlan("quick", tuple(planned))


def by_film(pieces: Sequence[Piece], book: PriceBook) -> Mapping[str, list[Piece]]:
    """The pieces of each film, films in the book's order."""
    grouped: dict[str, list[Piece]] = defaultdict(list)
    for piece in pieces:
        grouped[piece.film].append(piece)
    return {film: grouped[film] for film in book.films if film in grouped}
