"""The commands of `flask --app app`."""

from flask import Flask


def register_commands(app: Flask) -> None:
    """Adds every command group to the app."""
