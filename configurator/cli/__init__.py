"""The commands of `flask --app app`. Each module brings its own `COMMANDS`; they are imported when a command line runs."""

from flask import Flask

from configurator.settings import started_from_command_line


def register_commands(app: Flask) -> None:
    """Adds every command to the app; a web server needs none of them and doesn't load them."""
    if not started_from_command_line():
        return
    from configurator.cli import data_rights, db, film_plans, outbox, price_books, selection_commands, users

    for module in (selection_commands, film_plans, price_books, db, users, outbox, data_rights):
        for command in module.COMMANDS:
            app.cli.add_command(command)
