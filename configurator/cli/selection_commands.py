"""`estimate`, `body`, `diagram`, `film-plan`, `work`: what a selection gives, on standard output. Pure: no database, secret or clock."""

from pathlib import Path

import click

from configurator.cli.reading import print_json, selection_command, stop
from configurator.domain.selection import Selection
from configurator.domain.shop import Shop
from configurator.drawing.outline_export import write_plan_drawings
from configurator.services import depiction, estimating, film_planning
from configurator.wire.body import dump_body
from configurator.wire.estimate import dump_estimate
from configurator.wire.film_plan import film_plan_document
from configurator.wire.work import dump_work
from configurator.wording.words import Words


@click.command("estimate", short_help="Price range, appointment length and days off-road of a selection.")
@selection_command
def estimate(shop: Shop, selection: Selection, words: Words) -> None:
    """Reads a selection (JSON) from FILE or - and prints the estimate (JSON)."""
    print_json(dump_estimate(estimating.estimate(shop, selection), words, shop.book))


@click.command("body", short_help="The measured body of a selection.")
@selection_command
def body(shop: Shop, selection: Selection, words: Words) -> None:
    """Reads a selection (JSON) and prints its measured body (JSON): areas, edges, seams, flat outlines."""
    measured = estimating.measured_body(shop, selection)
    print_json(dump_body(measured.body, measured.materials, measured.seams_mm))


@click.command("work", short_help="The operations of a selection and when they are done.")
@selection_command
def work(shop: Shop, selection: Selection, words: Words) -> None:
    """Reads a selection (JSON) and prints its operations with times and placement (JSON)."""
    plan = estimating.work_plan(shop, selection)
    print_json(dump_work(plan.operations, plan.stay, plan.planned_minutes))


@click.command("diagram", short_help="The drawing of a selection as SVG.")
@click.option("--view", type=click.Choice(depiction.STANDALONE_VIEWS), default="sheet", show_default=True)
@selection_command
def diagram(shop: Shop, selection: Selection, words: Words, view: str) -> None:
    """Reads a selection (JSON) and prints the drawing (SVG)."""
    click.echo(depiction.standalone(shop, selection, view, words), nl=False)


@click.command("film-plan", short_help="The pieces of a selection placed on rolls.")
@click.option("--deep", is_flag=True, help="Use the nesting solver.")
@click.option("--seconds", type=click.FloatRange(0.5, 600), default=20, show_default=True, help="Time for the whole deep plan.")
@click.option("--svg", "folder", metavar="DIR", help="Also write a cut plan per roll into DIR.")
@selection_command
def film_plan(shop: Shop, selection: Selection, words: Words, deep: bool, seconds: float, folder: str | None) -> None:
    """Reads a selection (JSON) and prints the film plan (JSON)."""
    plan = film_planning.plan_film(shop, selection, deep=deep, seconds=seconds)
    print_json(film_plan_document(plan))
    if folder:
        try:
            write_plan_drawings(plan, Path(folder), words)
        except OSError as error:
            stop(f"{folder}: {error.strerror}")


COMMANDS = (estimate, body, work, diagram, film_plan)
