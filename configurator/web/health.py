"""Is the process alive?"""

from flask import Blueprint

blueprint = Blueprint("health", __name__)


@blueprint.get("/healthz")
def healthz() -> tuple[str, dict[str, str]]:
    """Alive: answers without touching anything else."""
    return "ok\n", {"Content-Type": "text/plain; charset=utf-8", "Cache-Control": "no-store"}
