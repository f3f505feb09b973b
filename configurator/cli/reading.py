"""What the pure commands share: a selection from a file or standard input, a shop's data, faults as lines, exit code 2."""

import functools
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NoReturn

import click

from configurator.errors import InvalidData, InvalidInput
from configurator.loading.shop import Shop, load_shop
from configurator.wire.selection import load_selection
from configurator.wire.strict_json import MAX_BYTES, parse_json
from configurator.wording.locales import available_locales
from configurator.wording.words import Words

Command = Callable[..., Any]


def selection_command(function: Command) -> Command:
    """A command that takes FILE (or -), --price-book and --locale and is called with (shop, selection, words, ...)."""

    @click.argument("file", metavar="FILE")
    @click.option("--price-book", "price_book", metavar="FILE", help="A price book file instead of the demo shop's.")
    @click.option("--locale", default="en_US", show_default=True, help="Language of the texts.")
    @functools.wraps(function)
    def run(file: str, price_book: str | None, locale: str, **options: Any) -> Any:
        words = words_for(locale)
        try:
            shop = shop_for(price_book)
            return function(shop, load_selection(parse_json(_read(file))), words, **options)
        except InvalidInput as error:
            refuse_input(error, words, file)
        except InvalidData as error:
            refuse_data(error, words)

    return run


def words_for(locale: str) -> Words:
    """The words of a locale, or exit 2 with the ones there are."""
    if locale not in available_locales():
        stop(f"--locale: {locale[:20]} is not there; there are {', '.join(available_locales())}")
    return Words(locale)


def shop_for(price_book: str | None) -> Shop:
    """The shop's data with the price book asked for. Raises InvalidData."""
    return load_shop(Path(price_book) if price_book else None)


def _read(file: str) -> bytes:
    try:
        if file == "-":
            return sys.stdin.buffer.read(MAX_BYTES + 1)
        with Path(file).open("rb") as opened:
            return opened.read(MAX_BYTES + 1)
    except OSError as error:
        stop(f"{file}: {error.strerror}")


def refuse_input(error: InvalidInput, words: Words, file: str) -> NoReturn:
    """One line a fault on standard error, then exit 2."""
    stop("\n".join(f"{file}: {fault.path + ': ' if fault.path else ''}{words.fault(fault)}" for fault in error.faults))


def refuse_data(error: InvalidData, words: Words) -> NoReturn:
    """One line a fault of a data file on standard error, then exit 2."""
    stop("\n".join(f"{error.file}: {fault.path + ': ' if fault.path else ''}{words.fault(fault)}" for fault in error.faults))


def stop(text: str) -> NoReturn:
    """Says why on standard error and ends with exit code 2."""
    click.echo(text, err=True)
    raise SystemExit(2)


def print_json(document: object) -> None:
    """The document on standard output: UTF-8, two spaces, one line end."""
    sys.stdout.buffer.write(json.dumps(document, ensure_ascii=False, indent=2).encode() + b"\n")
    sys.stdout.buffer.flush()
