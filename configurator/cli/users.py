"""`user add`: a staff member."""

import click

from configurator.cli.desk import desk_command, need_migrated
from configurator.cli.reading import stop
from configurator.domain.review import Actor
from configurator.domain.staff import STAFF_ROLES
from configurator.errors import InvalidInput
from configurator.services.people import add_person
from configurator.services.ports import AlreadyThere
from configurator.web.wiring import Wiring
from configurator.wording.words import Words


@click.group("user", short_help="Staff members.")
def user() -> None:
    """Staff members."""


@user.command("add", short_help="Add a staff member.")
@click.option("--email", required=True, prompt="E-mail address")
@click.option("--name", required=True, prompt="Name")
@click.option("--role", required=True, prompt=True, type=click.Choice([role.value for role in STAFF_ROLES]))
@click.option("--password", required=True, prompt=True, hide_input=True, confirmation_prompt=True, envvar="TUCKLINE_NEW_PASSWORD")
@desk_command
def add(wiring: Wiring, email: str, name: str, role: str, password: str) -> None:
    """Adds a staff member who logs in with a password; asks for what isn't given (the password is better asked than given)."""
    need_migrated(wiring)
    try:
        added = add_person(email=email, name=name, role=Actor(role), password=password, store=wiring.store, now=wiring.clock())
    except InvalidInput as error:
        words = Words(wiring.settings.default_locale)
        stop("\n".join(f"{fault.path}: {words.fault(fault)}" for fault in error.faults))
    except AlreadyThere:
        stop("email: there is a staff member with this address already")
    click.echo(f"{added.name} can log in at /staff/ as {added.role.value}.")


COMMANDS = (user,)
