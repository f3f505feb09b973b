"""`price-book check|show|publish`: a shop's figures, looked at before and after they count."""

from pathlib import Path

import click

from configurator.cli.reading import print_json, refuse_data, stop, words_for
from configurator.domain.price_book import PriceBook
from configurator.errors import InvalidData
from configurator.loading.price_book import demo_price_book, load_price_book
from configurator.loading.published_books import publish as publish_book
from configurator.settings import read_settings
from configurator.wire.price_book import dump_price_book

PUBLISHED = "price_books"
"""Folder for published price books inside the data folder."""


@click.group("price-book")
def price_book() -> None:
    """Check, show or publish a price book file."""


@price_book.command("check")
@click.argument("file")
@click.option("--locale", default="en_US", show_default=True)
def check(file: str, locale: str) -> None:
    """Reads FILE and names every fault with its path; exit 2 if there is one."""
    book = _load(file, locale)
    click.echo(f"{file}: {book.version}: {len(book.films)} films, {len(book.parts)} parts, {len(book.packages)} packages")


@price_book.command("show")
@click.argument("file", required=False)
@click.option("--locale", default="en_US", show_default=True)
def show(file: str | None, locale: str) -> None:
    """Prints the figures of FILE (the demo's if none is named) as JSON."""
    print_json(dump_price_book(_load(file, locale) if file else demo_price_book()))


@price_book.command("publish")
@click.argument("file")
@click.option("--locale", default="en_US", show_default=True)
def publish(file: str, locale: str) -> None:
    """Checks FILE, keeps it under its version and puts it in force from the server's next start."""
    folder = read_settings().data_path / PUBLISHED
    try:
        book = publish_book(Path(file), folder)
    except InvalidData as error:
        refuse_data(error, words_for(locale))
    except OSError as error:
        stop(f"{error.filename or file}: {error.strerror}")
    click.echo(f"{book.version} is in force from the next start ({folder / (book.version + '.yaml')})")


def _load(file: str, locale: str) -> PriceBook:
    try:
        return load_price_book(Path(file))
    except InvalidData as error:
        refuse_data(error, words_for(locale))


COMMANDS = (price_book,)
