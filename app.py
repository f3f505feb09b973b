"""Entry for gunicorn (`app:app`) and for `flask --app app`."""

import os

# Before numpy is loaded: our matrices are small, and several threads on each only get in each other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from configurator.web.factory import create_app

app = create_app()
