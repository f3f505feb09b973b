"""The drawing of a kept request with its panels numbered as in the table beside it."""

from collections.abc import Mapping
from dataclasses import replace

from configurator.domain import estimating
from configurator.domain.selection import Selection
from configurator.domain.shop import Shop
from configurator.drawing.car import SHEET, draw_sheet, draw_view
from configurator.drawing.options import Options
from configurator.drawing.states import film_look
from configurator.services.depiction import sheet_labels
from configurator.wording.words import Words


def numbered_drawing(
    shop: Shop, selection: Selection, numbers: Mapping[str, str], words: Words, *, view: str = SHEET, standalone: bool = False
) -> str:
    """One view or the four-view sheet; the numbers stand on the panels. `standalone`: a file by itself. Raises InvalidInput."""
    job = estimating.work(selection, shop)
    labels, films = sheet_labels(job, words), film_look(shop.book)
    spoken = {id: f"{numbers[id]}. {text}" if id in numbers else text for id, text in labels.panels.items()}
    labels, options = replace(labels, panels=spoken), Options(numbers=numbers, standalone=standalone)
    if view == SHEET:
        return draw_sheet(job.body, job.scope, labels=labels, selection=job.selection, films=films, options=options)
    return draw_view(job.body, job.scope, view, labels=labels, selection=job.selection, films=films, options=options)
