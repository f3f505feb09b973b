"""The owner's page about the shop's own site: what to paste, where it may run, whether a site is let in, what everything means."""

from dataclasses import dataclass
from datetime import datetime
from urllib.parse import urlencode

from flask import Blueprint, make_response, redirect, render_template, request, session, url_for
from werkzeug.wrappers import Response

from configurator.domain.selection import Package
from configurator.domain.sites import AllowedSite
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services import sites
from configurator.services.sites import COUNTED_DAYS, SitesOverview, Verdict
from configurator.web.embed.accent import hex_colour, readable_accent
from configurator.web.embed.loader import current
from configurator.web.embed.sites import own_origin
from configurator.web.embed.snippet import Choices, choices_from, script_line, snippet
from configurator.web.i18n import words
from configurator.web.request_reading import shop_time
from configurator.web.staff.guard import needs, person
from configurator.web.wiring import wired
from configurator.wording.ages import age
from configurator.wording.locales import available_locales
from configurator.wording.words import Words

SAID = "site_said"
VIEWS = ("page", "phone", "plain")
FIRST_ACCENT = "#00656b"
LONGEST_SHOWN = 300


@dataclass(frozen=True)
class SiteRow:
    """One site of the list. `by_settings`: named in the server's settings, and can't be taken off here."""

    origin: str
    added: str
    seen: str
    requests: int
    by_settings: bool


@needs(Right.SITES)
def site() -> str:
    """The page; everything that was picked stands in its address."""
    return _page()


@needs(Right.SITES)
def allow_site() -> Response:
    """Puts a site on the list."""
    typed = request.form.get("site", "")
    try:
        origin = sites.allow(typed, person(), wired().store, wired().clock())
    except InvalidInput as error:
        return make_response(_page(fault=_reason(error), typed=typed[:LONGEST_SHOWN]), 422)
    wired().listed_sites.forget()
    session[SAID] = ["allowed", origin]
    return redirect(url_for("staff.site", _anchor="sites"), code=303)


@needs(Right.SITES)
def remove_site() -> Response:
    """Takes a site off the list."""
    origin = request.form.get("origin", "")[:LONGEST_SHOWN]
    gone = sites.remove(origin, person(), wired().store, wired().clock())
    wired().listed_sites.forget()
    session[SAID] = ["removed" if gone else "gone", origin]
    return redirect(url_for("staff.site", _anchor="sites"), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/site", "site", site)
    blueprint.add_url_rule("/site/allow", "allow_site", allow_site, methods=["POST"])
    blueprint.add_url_rule("/site/remove", "remove_site", remove_site, methods=["POST"])


def _page(fault: str = "", typed: str = "") -> str:
    say, base, loader = words(), wired().settings.public_url or own_origin(), current()
    bodies = tuple(wired().shop.styles)
    choices = choices_from(request.args, locales=available_locales(), bodies=bodies)
    view = request.args.get("show", "") if request.args.get("show") in VIEWS else VIEWS[0]
    link = say.gettext("Plan your film and see a price range")
    return render_template(
        "staff/site.html",
        choices=choices,
        view=view,
        snippet=snippet(choices, loader, base, link),
        script_lines={kind: script_line(Choices(fixed=kind == "fixed"), loader, base) for kind in ("latest", "fixed")},
        preview=_preview_address(choices, view),
        accent=_accent(say),
        bodies=bodies,
        bodies_named=lambda: [(body, say.name("body", body)) for body in bodies],
        packages_named=lambda: [(package.value, say.name("package", package.value)) for package in Package],
        locales=[(locale, Words(locale).language_name()) for locale in available_locales()],
        base=base,
        rows=_rows(overview := sites.overview(wired().store, wired().clock()), say),
        turned_away=[(each.origin, _ago(each.seen_at, say)) for each in overview.turned_away],
        own_requests=overview.requests.get("", 0) + overview.requests.get(own_origin(), 0),
        counted_days=COUNTED_DAYS,
        fault=fault,
        typed=typed or request.args.get("site", "")[:LONGEST_SHOWN],
        said=_said(say),
        **_test(say),
    )


def _preview_address(choices: Choices, view: str) -> str:
    given = [*choices.attributes(), *([("own_accent", "yes")] if choices.accent else []), ("show", view)]
    return f"/embed/preview?{urlencode(given)}"


def _accent(say: Words) -> dict[str, str]:
    """The picked colour, and what becomes of it where text has to stay readable (WCAG 2.2, 1.4.3)."""
    colour = hex_colour(request.args.get("accent", "")) or FIRST_ACCENT
    shades = {theme: readable_accent(colour, theme) for theme in ("light", "dark")}
    if not any(shade.moved for shade in shades.values()):
        return {"colour": colour, "says": say.gettext("Readable as it is, on light and on dark.")}
    facts = {"light": shades["light"].film, "dark": shades["dark"].film}
    return {"colour": colour, "says": say.gettext("Shown as %(light)s on light and %(dark)s on dark, so that text stays readable.") % facts}


def _rows(overview: SitesOverview, say: Words) -> list[SiteRow]:
    def row(origin: str, listed: AllowedSite | None) -> SiteRow:
        seen = overview.last_seen.get(origin)
        added = say.datetime(shop_time(listed.added_at), "medium") if listed else ""
        by = f"{added}, {listed.added_by}" if listed and listed.added_by else added
        return SiteRow(origin, by, _ago(seen, say) if seen else "", overview.requests.get(origin, 0), by_settings=listed is None)

    listed = {each.origin: each for each in overview.allowed}
    always = sorted(wired().listed_sites.always - set(listed))
    return [*(row(origin, None) for origin in always), *(row(origin, each) for origin, each in listed.items())]


def _test(say: Words) -> dict[str, object]:
    """What was asked about a site, and the answer."""
    asked = request.args.get("test", "")[:LONGEST_SHOWN]
    if not asked.strip():
        return {"asked": asked, "verdict": None, "why_not": ""}
    try:
        verdict: Verdict | None = sites.judge(asked, wired().listed_sites() | {own_origin()})
    except InvalidInput as error:
        return {"asked": asked, "verdict": None, "why_not": _reason(error)}
    return {"asked": asked, "verdict": verdict, "why_not": ""}


def _reason(error: InvalidInput) -> str:
    return " ".join(words().fault(fault) for fault in error.faults)


def _ago(moment: datetime, say: Words) -> str:
    now = wired().clock()
    if (now - moment).total_seconds() < 60:
        return say.gettext("just now")
    return say.gettext("%(age)s ago") % {"age": age(shop_time(moment), shop_time(now), say)}


def _said(say: Words) -> str:
    kind, origin = session.pop(SAID, ["", ""])
    texts = {
        "allowed": say.gettext("%(site)s may show the configurator from now on."),
        "removed": say.gettext("%(site)s is off the list. Within a few seconds it shows the configurator no more."),
        "gone": say.gettext("%(site)s was not on the list any more."),
    }
    return texts[kind] % {"site": origin} if kind in texts else ""
