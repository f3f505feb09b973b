"""Entry for gunicorn (`app:app`) and for `flask --app app`."""

from configurator.web.factory import create_app

app = create_app()
