"""`film-plan`: the pieces of a selection placed on rolls, and cut plans to print."""

from pathlib import Path

import click

from configurator.cli.reading import print_json, refuse_data, selection_command, stop
from configurator.domain.film_plan.deep import NOTES
from configurator.domain.film_plan.records import FilmPlan
from configurator.domain.film_plan.rolls import NotEnoughFilm
from configurator.domain.film_plan.verify import FlawedPlan
from configurator.domain.selection import Selection
from configurator.domain.shop import Shop
from configurator.drawing.cut_plan_layout import A4_PAPER, LETTER_PAPER, Paper
from configurator.errors import InvalidData
from configurator.loading.film_stock import load_film_stock
from configurator.services.film.cut_plan_files import write_cut_plans
from configurator.services.film.film_planning import plan_film
from configurator.wire.film_plan import film_plan_document
from configurator.wording.words import Words

PAPERS = {"a4": A4_PAPER, "letter": LETTER_PAPER}


@click.command("film-plan", short_help="The pieces of a selection placed on rolls.")
@click.option("--deep", is_flag=True, help="Use the nesting solver.")
@click.option("--seconds", type=click.FloatRange(0.5, 600), default=20, show_default=True, help="Time for the whole deep plan.")
@click.option("--svg", "folder", metavar="DIR", help="Also write cut plans (SVG, PDF) and outlines (SVG, DXF) of every roll into DIR.")
@click.option("--stock", metavar="FILE", help="Rolls and offcuts at hand (YAML or JSON) instead of the price book's alone.")
@click.option("--paper", type=click.Choice(sorted(PAPERS)), default="a4", show_default=True, help="What the cut plans are printed on.")
@selection_command
def film_plan(
    shop: Shop, selection: Selection, words: Words, deep: bool, seconds: float, folder: str | None, stock: str | None, paper: str
) -> None:
    """Reads a selection (JSON) and prints the film plan (JSON)."""
    try:
        rolls = load_film_stock(Path(stock), shop.book) if stock else None
        plan = plan_film(shop, selection, deep=deep, seconds=seconds, stock=rolls)
    except NotEnoughFilm as short:
        refuse_data(InvalidData(Path(stock or "").name, [short.fault]), words)
    except FlawedPlan as flawed:
        stop(f"the plan failed its own check and is not shown: {flawed}")
    print_json(film_plan_document(plan))
    if plan.note:
        click.echo(words.message(NOTES[plan.note]), err=True)
    if folder:
        _write(plan, Path(folder), words, selection.vehicle.body, PAPERS[paper])


def _write(plan: FilmPlan, folder: Path, words: Words, body: str, paper: Paper) -> None:
    try:
        _, with_pdf = write_cut_plans(plan, folder, words, body=body, paper=paper)
    except OSError as error:
        stop(f"{folder}: {error.strerror}")
    if not with_pdf:
        click.echo("No PDF: WeasyPrint or its library Pango is missing here. Print the sheets (SVG) instead.", err=True)


COMMANDS = (film_plan,)
