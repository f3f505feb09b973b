"""What is said once after a change, politely: what changed, and what it costs in money and days."""

from configurator.web.visitor.card import Card
from configurator.web.visitor.plan import Plan
from configurator.wording.words import Words

_KINDS = {
    "package": "package",
    "edges": "edges",
    "finish": "finish",
    "paint": "paint",
    "body": "body",
    "region": "region",
    "correction": "correction",
    "paint_condition": "condition",
}


def announcement(changed: str, plan: Plan, card: Card, words: Words) -> str:
    """`Hood left bare. $1,400 – $1,750, 3 days off-road.` `changed` is the control as the page's script names it."""
    told = [_change(changed, plan, words), _price(card, words)]
    return " ".join(text for text in told if text)


def _price(card: Card, words: Words) -> str:
    if not card.priced:
        return words.gettext("Nothing is chosen yet.")
    return words.gettext("%(range)s, %(days)s off-road.") % {"range": card.range, "days": card.days_short}


def _change(changed: str, plan: Plan, words: Words) -> str:
    name, _, value = changed.partition(":")
    if name == "f.panel":
        return _panel(value.partition(":")[0], plan, words)
    if name == "f.whole":
        return _whole(value.partition(":")[0], plan, words)
    if name in _KINDS:
        return words.gettext("%(choice)s.") % {"choice": words.name(_KINDS[name], value)}
    if name == "region":
        return words.gettext("%(choice)s.") % {"choice": words.name("region", plan.estimate.selection.region or value)}
    return _lamp(name.removeprefix("lamp."), plan, words)


def _lamp(lamp: str, plan: Plan, words: Words) -> str:
    """What lies on a lamp group or the windshield now; the control's own value may be 'as suggested'."""
    film = next((row.film for row in plan.estimate.light if row.lamp == lamp), None)
    if film is None:
        return ""
    return words.gettext("%(lamp)s: %(film)s.") % {"lamp": words.name("lamp", lamp), "film": words.name("lamp_film", film)}


def _whole(panel: str, plan: Plan, words: Words) -> str:
    """After a panel of which the package covers a strip was asked for whole, or given back."""
    whole = panel in plan.given.add
    text = words.gettext("%(panel)s: all of it covered.") if whole else words.gettext("%(panel)s: only the package's part covered.")
    return text % {"panel": words.name("panel", panel, body=plan.given.vehicle.body)}


def _panel(panel: str, plan: Plan, words: Words) -> str:
    scoped = plan.estimate.scope.panels.get(panel)
    if scoped is None:
        return ""
    text = words.gettext("%(panel)s covered.") if scoped.covered else words.gettext("%(panel)s left bare.")
    return text % {"panel": words.name("panel", panel, body=plan.given.vehicle.body)}
