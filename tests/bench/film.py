"""The quick planner: its time, its film money as a ratio to the deep planner's, its growth with pieces."""

from configurator.domain import estimating
from configurator.domain.film_plan.nesting import nest
from configurator.domain.film_plan.pieces import pieces
from configurator.domain.film_plan.quick import plan_quick
from configurator.domain.film_plan.rolls import film_cost, stock_of
from configurator.loading.film_orders import known_orders
from configurator.services.film.film_planning import plan_film
from tests.bench.timing import Figures, cpu_ms, numpy_ms
from tests.domain.film_plan.rectangles import rectangle
from tests.shops import STYLES, chosen, demo_shop

DEEP_SECONDS = 5.0


def bench_film() -> Figures:
    """Per body a full body with wrapped edges; then rectangles, 10, 40 and 160 of them."""
    shop, baseline = demo_shop(), numpy_ms()
    figures: Figures = {}
    for body in STYLES:
        job = estimating.work(chosen(body, "full_body"), shop)
        made, orders = pieces(job.scope, job.body, shop.book), known_orders(body)
        quick = plan_quick(made, shop.book, orders=orders)
        spent = cpu_ms(lambda m=made, o=orders: plan_quick(m, shop.book, orders=o))
        figures[f"quick plan, {body}, ms"] = spent
        figures[f"quick plan, {body}, time to baseline"] = spent / baseline
        deep = plan_film(shop, chosen(body, "full_body"), deep=True, seconds=DEEP_SECONDS)
        stock = stock_of(shop.book)
        figures[f"quick plan, {body}, film money to deep at {DEEP_SECONDS:g} s"] = float(film_cost(quick, stock) / film_cost(deep, stock))
    for count in (10, 40, 160):
        many = [rectangle(f"r{n}", 200 + 37 * n % 600, 150 + 53 * n % 500) for n in range(count)]
        figures[f"{count} rectangles, time to baseline"] = cpu_ms(lambda m=many: nest(m, 1524.0, steps=45_000), times=3) / baseline
    return figures
