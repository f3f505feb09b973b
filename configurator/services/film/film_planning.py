"""The film plan of a selection, for the commands, the cut plan and the work order. No plan leaves here unchecked."""

import time
from collections.abc import Sequence

from configurator.domain import estimating
from configurator.domain.film_plan.deep import Solver, cheapest_by_film, plan_deep
from configurator.domain.film_plan.pieces import pieces
from configurator.domain.film_plan.quick import QUICK, plan_quick, thorough
from configurator.domain.film_plan.records import FilmPlan, Piece
from configurator.domain.film_plan.rolls import StockRoll, stock_of
from configurator.domain.film_plan.starting_orders import Orders
from configurator.domain.film_plan.verify import FlawedPlan, uncovered, verify
from configurator.domain.scope import Scope
from configurator.domain.selection import Selection
from configurator.domain.shop import Shop
from configurator.loading.film_orders import known_orders
from configurator.services.film.deep_planner import solve_in_child

LEAST_THOROUGH_SECONDS = 4.0
"""With less time than this the widths are chosen by the quick planner alone."""

CHECKING_SECONDS = 0.3
"""Kept back for checking what the solver found."""


def plan_film(
    shop: Shop,
    selection: Selection,
    deep: bool = False,
    seconds: float = 20.0,
    *,
    stock: Sequence[StockRoll] | None = None,
    solve: Solver = solve_in_child,
) -> FilmPlan:
    """The plan of a selection on the rolls of `stock` (default: every width of the price book, without end).

    `deep` takes up to `seconds` of wall time, all told, and never costs more film than the quick plan.

    Raises InvalidInput for a selection that can't be, NotEnoughFilm where `stock` doesn't take every piece, FlawedPlan should a plan
    ever fail its check.
    """
    until = time.monotonic() + seconds
    job = estimating.work(selection, shop)
    made = pieces(job.scope, job.body, shop.book)
    rolls = stock_of(shop.book) if stock is None else tuple(stock)
    orders = known_orders(job.selection.vehicle.body)
    plan = plan_quick(made, shop.book, stock=rolls, effort=QUICK, orders=orders)
    if deep and plan.rolls:
        plan = _deepened(plan, made, shop, rolls, orders, until=until, solve=solve)
    return checked(plan, made, job.scope, separation_mm=shop.book.cutting.separation_mm)


def _deepened(
    quick: FilmPlan, made: Sequence[Piece], shop: Shop, rolls: Sequence[StockRoll], orders: Orders, *, until: float, solve: Solver
) -> FilmPlan:
    base = quick
    if (left := until - time.monotonic()) > LEAST_THOROUGH_SECONDS:
        longer_sought = plan_quick(made, shop.book, stock=rolls, effort=thorough(left), orders=orders)
        base = cheapest_by_film([quick, longer_sought], shop.book, rolls)
    left = until - time.monotonic() - CHECKING_SECONDS
    return plan_deep(base, solve, seconds=left, separation_mm=shop.book.cutting.separation_mm)


def checked(plan: FilmPlan, made: Sequence[Piece], scope: Scope, *, separation_mm: float) -> FilmPlan:
    """`plan` as it is, if nothing is wrong with it. Raises FlawedPlan."""
    flaws = (*verify(plan, made, separation_mm=separation_mm), *uncovered(made, scope))
    if flaws:
        raise FlawedPlan(flaws)
    return plan
