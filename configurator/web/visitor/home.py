"""The demo shop's own page, which holds the configurator as any shop's site would."""

from flask import Blueprint, render_template

from configurator.web.embed.loader import current
from configurator.web.packing import pack

blueprint = Blueprint("home", __name__)
blueprint.after_request(pack)


@blueprint.get("/")
def home() -> str:
    """The invented shop's front page."""
    return render_template("shop/home.html", loader=current())
