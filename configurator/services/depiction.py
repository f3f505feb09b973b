"""The drawing of a selection as a picture that stands by itself: for the API, the `diagram` command and documents."""

from collections.abc import Mapping

from configurator.domain import estimating
from configurator.domain.body.records import Body
from configurator.domain.estimating import Worked
from configurator.domain.scope import ScopedPanel
from configurator.domain.selection import Selection
from configurator.domain.shop import Shop
from configurator.drawing.car import SHEET, VIEWS, draw_sheet, draw_view
from configurator.drawing.options import Labels, Options
from configurator.drawing.states import film_look
from configurator.wording.words import Words

STANDALONE_VIEWS = (*VIEWS, SHEET)
"""What a caller may ask for: nine views and the sheet."""


def standalone(shop: Shop, selection: Selection, view: str, words: Words) -> str:
    """The SVG of one of `STANDALONE_VIEWS`, with its own stylesheet inside. Raises InvalidInput."""
    job = estimating.work(selection, shop)
    labels, films = sheet_labels(job, words), film_look(shop.book)
    options = Options(sizes=True, standalone=True)
    if view == SHEET:
        return draw_sheet(job.body, job.scope, labels=labels, selection=job.selection, films=films, options=options)
    return draw_view(job.body, job.scope, view, labels=labels, selection=job.selection, films=films, options=options)


def sheet_labels(job: Worked, words: Words) -> Labels:
    """All words of a drawing: views, panels with state and area, title block, sizes."""
    body = job.body
    sizes = {name: words.length(getattr(body.size, name)) for name in ("length_mm", "width_mm", "height_mm", "wheelbase_mm")}
    return Labels(
        views={view: words.name("view", view) for view in STANDALONE_VIEWS},
        panels=_panel_labels(body, job.scope.panels, words),
        names={id: words.name("panel", id, body=body.style) for id in body.panels},
        title=(words.name("body", body.style), " × ".join(sizes[name] for name in ("length_mm", "width_mm", "height_mm"))),
        sizes=sizes,
    )


def _panel_labels(body: Body, scoped: Mapping[str, ScopedPanel], words: Words) -> Mapping[str, str]:
    names = {id: words.name("panel", id, body=body.style) for id, panel in body.panels.items() if panel.selectable}
    return {id: _described(scoped[id], name, words) if id in scoped else name for id, name in names.items()}


def _described(panel: ScopedPanel, name: str, words: Words) -> str:
    facts = {"panel": name, "area": words.area(panel.covered_area_m2 if panel.covered else panel.area_m2)}
    if panel.covered:
        return words.gettext("%(panel)s, covered, %(area)s") % facts
    if panel.filmable:
        return words.gettext("%(panel)s, can be added, %(area)s") % facts
    return words.gettext("%(panel)s, can't take film") % facts
