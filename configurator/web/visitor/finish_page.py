"""What the Finish step shows: one finish for most of the car, panels with their own, and the stripes."""

from dataclasses import dataclass

from configurator.domain.selection import Stripes
from configurator.domain.shop import Shop
from configurator.web.visitor.finish_form import USUAL_BORDER_MM
from configurator.web.visitor.plan import Plan
from configurator.wording.words import Words

Option = tuple[str, str]
MATCH = "match"


@dataclass(frozen=True)
class OwnFinish:
    """A panel with a finish of its own; `note` says when film isn't laid there at all."""

    panel: str
    name: str
    value: str
    note: str


@dataclass(frozen=True)
class StripeForm:
    """The stripes as text and as form values; `seam` is how much butt seam they make now (empty: none)."""

    text: str
    shape: str
    finish: str
    border_width: str
    border_finish: str
    seam: str


@dataclass(frozen=True)
class FinishPage:
    finishes: tuple[Option, ...]
    hints: dict[str, str]
    default: str
    own: tuple[OwnFinish, ...]
    free_panels: tuple[Option, ...]
    stripes: StripeForm | None


def finish_page(plan: Plan, shop: Shop, words: Words) -> FinishPage:
    """The page for a plan."""
    body, given = plan.given.vehicle.body, plan.given
    scope = plan.estimate.scope
    able = [panel for panel in scope.panels.values() if panel.filmable]
    return FinishPage(
        finishes=((MATCH, words.name("finish", MATCH)), *((finish, words.name("finish", finish)) for finish in shop.book.finishes)),
        hints=_hints(words),
        default=given.default_finish,
        own=tuple(_own(panel, finish, plan, words) for panel, finish in given.panel_finishes.items() if panel in scope.panels),
        free_panels=tuple((panel.id, words.name("panel", panel.id, body=body)) for panel in able if panel.id not in given.panel_finishes),
        stripes=_stripes(given.vehicle.stripes, plan, words) if given.vehicle.stripes else None,
    )


def _hints(words: Words) -> dict[str, str]:
    return {
        MATCH: words.gettext("gloss on gloss, matte on matte"),
        "gloss": words.gettext("deeper shine; on matte paint it would make the paint shine"),
        "matte": words.gettext("turns gloss paint satin, and comes off again"),
    }


def _own(panel: str, finish: str, plan: Plan, words: Words) -> OwnFinish:
    covered = plan.estimate.scope.panels[panel].covered
    note = "" if covered else words.gettext("not covered yet; tick it under Coverage")
    return OwnFinish(panel, words.name("panel", panel, body=plan.given.vehicle.body), finish, note)


def _stripes(stripes: Stripes, plan: Plan, words: Words) -> StripeForm:
    seam_mm = sum(panel.seam_mm for panel in plan.estimate.scope.covered)
    return StripeForm(
        text=stripes_text(stripes, words),
        shape=",".join(_plain(value) for value in (stripes.count, stripes.width_mm, stripes.gap_mm, stripes.offset_mm)),
        finish=stripes.finish,
        border_width=_plain(stripes.border.width_mm) if stripes.border else USUAL_BORDER_MM,
        border_finish=stripes.border.finish if stripes.border else "",
        seam=words.length(seam_mm) if seam_mm else "",
    )


def stripes_text(stripes: Stripes, words: Words) -> str:
    """The stripes in one sentence."""
    if stripes.count == 1:
        return words.gettext("One stripe, %(width)s wide, runs over the bumpers, hood, roof and lid.") % {
            "width": words.length(stripes.width_mm)
        }
    text = words.gettext("Two stripes, each %(width)s wide with %(gap)s between them, run over the bumpers, hood, roof and lid.")
    return text % {"width": words.length(stripes.width_mm), "gap": words.length(stripes.gap_mm)}


def _plain(value: float) -> str:
    return str(int(value)) if value == int(value) else str(value)
