"""A sheet comes quickly over a slow line, and from memory the second time."""

import gzip
from time import process_time

import pytest

from configurator.domain import estimating
from configurator.domain.body.build import build_body
from configurator.domain.estimating import Worked
from configurator.drawing.car import draw_sheet
from configurator.drawing.options import Labels, Options
from configurator.drawing.projection import SHEET_VIEWS
from configurator.loading.body_styles import load_body_styles
from configurator.wire.selection import load_selection
from tests.drawing.cars import STYLES, body_of, demo_films
from tests.shops import demo_shop

STRIPES = {
    "count": 2,
    "width_mm": 240,
    "gap_mm": 110,
    "offset_mm": 0,
    "finish": "matte",
    "border": {"width_mm": 12, "finish": "gloss"},
}


def _job(style: str) -> Worked:
    """A car with everything that it can have, bordered stripes, film all over."""
    features = sorted(load_body_styles()[style].possible_features)
    vehicle = {"body": style, "features": features, "stripes": STRIPES}
    return estimating.work(load_selection({"version": 1, "vehicle": vehicle, "coverage": {"package": "full_body"}}), demo_shop())


@pytest.mark.parametrize("style", STYLES)
def test_the_fullest_sheet_fits_in_35_kilobytes(style: str) -> None:
    """Compressed as a server would (gzip, level 6), with labels, sizes and its own stylesheet."""
    job = _job(style)
    words = {id: f"Left {id}, covered, 0.55 m2" for id in job.body.panels}
    labels = Labels(views={view: view for view in SHEET_VIEWS}, panels=words, title=(style, "4.75 m"), sizes={"length_mm": "4.75 m"})
    options = Options(sizes=True, standalone=True)
    drawn = draw_sheet(job.body, job.scope, labels=labels, selection=job.selection, films=demo_films(), options=options)

    assert len(gzip.compress(drawn.encode(), 6)) <= 35_000


def test_what_was_drawn_or_built_before_is_kept() -> None:
    """Best of ten, so that a busy machine doesn't count: under a millisecond each."""
    authored = load_body_styles()["wagon"]
    body = body_of("wagon")
    draw_sheet(body, None, labels=Labels())

    def again() -> float:
        start = process_time()
        build_body(authored, size=authored.typical_size, features=authored.usual_features, fuel_door=authored.fuel_door)
        draw_sheet(body, None, labels=Labels())
        return process_time() - start

    assert min(again() for _ in range(10)) < 0.002
    assert draw_sheet(body, None, labels=Labels()) is draw_sheet(body, None, labels=Labels())
