"""Real bodies and real jobs for the drawing's tests, each built once."""

from functools import cache

from configurator.domain import estimating
from configurator.domain.body.build import build_body
from configurator.domain.body.records import Body
from configurator.domain.estimating import Worked
from configurator.drawing.states import FilmLook, film_look
from configurator.loading.body_styles import load_body_styles
from configurator.wire.selection import load_selection
from tests.shops import demo_shop

STYLES = tuple(load_body_styles())
SOME_OF_EVERYTHING = {
    "version": 1,
    "vehicle": {
        "body": "coupe",
        "stripes": {
            "count": 2,
            "width_mm": 240,
            "gap_mm": 110,
            "offset_mm": 0,
            "finish": "matte",
            "border": {"width_mm": 12, "finish": "gloss"},
        },
        "condition": {"resprayed": {"quarter_left": "2027-03-01"}},
    },
    "coverage": {"package": "track", "add": ["quarter_left", "rear_lid", "door_edge_front_left"]},
    "finish": {"default": "match", "panels": {"mirror_left": "gloss_black"}},
    "lamps": {"headlamps": "clear", "tail_lamps": "smoke_medium"},
    "drop_off": "2027-03-08",
}
"""A selection that shows every state: covered in gloss, matte and a colour, in part, refused, waiting, lamps, stripes, a zone."""


@cache
def body_of(style: str) -> Body:
    """A style at its typical size with its usual features."""
    authored = load_body_styles()[style]
    return build_body(authored, size=authored.typical_size, features=authored.usual_features, fuel_door=authored.fuel_door)


@cache
def a_job() -> Worked:
    return estimating.work(load_selection(SOME_OF_EVERYTHING), demo_shop())


@cache
def demo_films() -> FilmLook:
    return film_look(demo_shop().book)
