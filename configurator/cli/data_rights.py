"""`export` and `erase`: a person's data as an archive, requests as a table, and a person forgotten."""

import os
import sys
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import IO

import click

from configurator.cli.desk import desk_command, need_migrated
from configurator.cli.reading import stop
from configurator.domain.desk import Person
from configurator.domain.inbox import InboxQuestion, View
from configurator.domain.review import Actor
from configurator.services.ports import FilesUnavailable
from configurator.services.records.erasing import StillNeeded
from configurator.services.records.erasing import erase as erase_person
from configurator.services.records.exporting import export_person
from configurator.services.records.tables import BYTE_ORDER_MARK, REQUEST_COLUMNS, as_csv, as_json, request_rows
from configurator.web.wiring import Wiring

OPERATOR = Person(Actor.OWNER)
"""Whoever may run commands on the shop's machine acts for the owner; the history has no name for it."""
VIEWS = {"open": (View.OPEN,), "finished": (View.FINISHED,), "all": (View.OPEN, View.FINISHED)}
WHAT_TO_DO = {
    "accepted": "it is accepted: withdraw it on the customer's word first",
    "scheduled": "it has a place in the bay: withdraw it on the customer's word first",
    "in_bay": "it is in the bay: hand the car over first",
}


@click.command("export", short_help="A person's data (--email), or requests as CSV or JSON.")
@click.option("--email", help="Everything about the person with this address, as a ZIP archive.")
@click.option("--format", "form", type=click.Choice(["csv", "json"]), default="csv", show_default=True, help="Of requests.")
@click.option("--which", type=click.Choice(list(VIEWS)), default="all", show_default=True, help="Of requests.")
@click.option("--search", default="", help="Only requests that this finds, as in the inbox.")
@click.option(
    "--out", "out", type=click.Path(dir_okay=False, path_type=Path), help="A new file; without it requests go to standard output."
)
@desk_command
def export(wiring: Wiring, email: str | None, form: str, which: str, search: str, out: Path | None) -> None:
    """Writes what is kept: about one person with --email (a new file is needed), else requests as a table."""
    need_migrated(wiring)
    if email is not None:
        _export_person(wiring, email, out)
        return
    views = (InboxQuestion(view=view, text=search) for view in VIEWS[which])
    rows = chain.from_iterable(request_rows(question, wiring.store) for question in views)
    _write(as_csv(rows, REQUEST_COLUMNS) if form == "csv" else as_json(rows), out)


@click.command("erase", short_help="Erase everything about a person.")
@click.option("--email", required=True, help="The person's e-mail address.")
@click.option("--yes", is_flag=True, help="Don't ask.")
@desk_command
def erase(wiring: Wiring, email: str, yes: bool) -> None:
    """Takes a person out of customers, requests, histories, mails and photos. It can't be taken back; doing it again does nothing."""
    need_migrated(wiring)
    with wiring.store.reading() as work:
        found = work.data_rights.held(email)
    if found.is_empty:
        click.echo("Nothing is kept under this address.")
        return
    click.echo("\n".join(f"{request.reference}  {request.state.value}" for request in found.requests))
    if not yes and not click.confirm(f"Erase {len(found.customers)} customers and {len(found.requests)} requests for good?"):
        click.echo("Nothing was erased.")
        return
    try:
        erased = erase_person(email, OPERATOR, wiring.records)
    except StillNeeded as refused:
        stop("\n".join(f"{request.reference}: {WHAT_TO_DO[request.state.value]}" for request in refused.requests))
    click.echo(f"Erased: {erased.customers} customers, {erased.requests} requests, {erased.photos} photos.")
    click.echo("Backups made before still hold the person until they are deleted.")


def _export_person(wiring: Wiring, email: str, out: Path | None) -> None:
    if out is None:
        stop("--out: name a new file for the archive, such as --out person.zip")
    with wiring.store.reading() as work:
        if work.data_rights.held(email).is_empty:
            click.echo("Nothing is kept under this address.")
            return
    try:
        with _new_file(out) as archive:
            found = export_person(email, wiring.records, archive)  # type: ignore[arg-type]
    except FilesUnavailable:
        out.unlink(missing_ok=True)
        stop("the photos can't be reached, so nothing was written")
    click.echo(f"{len(found.requests)} requests are in {out}. It holds personal data: hand it to nobody else.")


def _write(pieces: Iterator[str], out: Path | None) -> None:
    if out is None:
        for piece in pieces:
            sys.stdout.write(piece.removeprefix(BYTE_ORDER_MARK))
        return
    with _new_file(out) as file:
        file.writelines(piece.encode() for piece in pieces)


def _new_file(path: Path) -> IO[bytes]:
    """A file that only its owner may read; never over another one."""
    try:
        return os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb")
    except OSError as error:
        stop(f"--out: can't write {path} ({error.strerror})")


COMMANDS = (export, erase)
