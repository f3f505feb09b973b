"""`user add`, `user link`: a staff member, and the way back in for one who can't log in."""

import click

from configurator.cli.desk import desk_command, need_migrated, need_secret
from configurator.cli.reading import stop
from configurator.domain.review import Actor
from configurator.domain.staff import STAFF_ROLES
from configurator.errors import InvalidInput
from configurator.services.access.password_reset import way_in
from configurator.services.access.people import add_person
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


@user.command("link", short_help="Print a one-time link that sets a new password.")
@click.argument("email", metavar="EMAIL")
@click.option("--second-step-off", is_flag=True, help="Take the second step off, for somebody who lost phone and recovery codes.")
@desk_command
def link(wiring: Wiring, email: str, second_step_off: bool) -> None:
    """Prints a link with which the staff member with this EMAIL sets a new password, for an owner whom no mail and nobody can help."""
    need_secret(wiring)
    need_migrated(wiring)
    path = way_in(email, wiring.desk(), second_step_off=second_step_off)
    if path is None:
        stop("EMAIL: no staff member who may log in has this address")
    click.echo(f"{wiring.origin}{path}")


COMMANDS = (user,)
