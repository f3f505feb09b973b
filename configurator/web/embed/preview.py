"""A made-up host page that shows the element as it was chosen, for the staff's page about the shop's own site. Only we may frame it."""

from flask import Blueprint, g, render_template, request

from configurator.web import limits
from configurator.web.embed.loader import current
from configurator.web.embed.snippet import as_markup, choices_from
from configurator.web.i18n import words
from configurator.web.limits import limiter
from configurator.web.wiring import wired
from configurator.wording.locales import available_locales

blueprint = Blueprint("preview", __name__)
WITHOUT_SCRIPT = "plain"


@blueprint.get("/embed/preview")
@limiter.limit(limits.estimates)
def preview() -> str:
    """The page; `show=plain` leaves out the script, as a browser without it would."""
    g.frame_ancestors = ("'self'",)
    choices = choices_from(request.args, locales=available_locales(), bodies=wired().shop.styles)
    link = words().gettext("Plan your film and see a price range")
    return render_template(
        "embed/preview.html",
        element=as_markup(choices, "", link),
        loader=None if request.args.get("show") == WITHOUT_SCRIPT else current(),
        theme=choices.theme,
    )
