"""What finished cars really took, beside what was planned: sums with the number of tasks they rest on."""

from flask import Blueprint, render_template

from configurator.domain.bay.results import by_film, by_kind
from configurator.domain.staff import Right
from configurator.web.staff.guard import needs
from configurator.web.wiring import wired

LATEST = 20


@needs(Right.PRICE_BOOK)
def results() -> str:
    """The page, for whoever keeps the price book."""
    with wired().store.reading() as work:
        found = work.bay.results()
    jobs = dict.fromkeys(task.reference for task in found.tasks)
    return render_template(
        "staff/bay/results.html",
        kinds=by_kind(found.tasks),
        films=by_film(found.film),
        jobs=len(jobs),
        latest=tuple(reversed(found.tasks[-LATEST:])),
    )


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/results", "results", results)
