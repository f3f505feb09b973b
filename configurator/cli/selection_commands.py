"""`estimate`, `body`, `work`, `diagram`: what a selection gives, on standard output. Pure: no database, secret or clock."""

import click

from configurator.cli.reading import print_json, selection_command
from configurator.domain.selection import Selection
from configurator.domain.shop import Shop
from configurator.services import depiction, estimating
from configurator.wire.body import dump_body
from configurator.wire.estimate import dump_estimate
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


COMMANDS = (estimate, body, work, diagram)
