"""Random selections as records: every field of the document, in shape, not always sensible for a body."""

from datetime import date
from types import MappingProxyType

from hypothesis import strategies as st

from configurator.domain.body.records import Side
from configurator.domain.selection import (
    LAMP_GROUPS,
    Border,
    Correction,
    GivenSize,
    LampFilm,
    Package,
    Paint,
    PaintCondition,
    Selection,
    Stripes,
    Treatment,
    Vehicle,
)
from configurator.wire.selection import NAMEABLE_MATERIALS

IDS = st.sampled_from(["hood", "roof", "fender_left", "door_front_right", "front_lip", "rear_lid"])
FINISHES = st.sampled_from(["match", "gloss", "matte", "gloss_black"])
DAYS = st.dates(date(2026, 1, 1), date(2028, 12, 31))
LENGTHS = st.none() | st.integers(1500, 4000).map(float)


def tables(values: st.SearchStrategy[object]) -> st.SearchStrategy[MappingProxyType[str, object]]:
    """id -> value, as a read-only mapping."""
    return st.dictionaries(IDS, values, max_size=3).map(MappingProxyType)


def id_lists() -> st.SearchStrategy[tuple[str, ...]]:
    """Different ids."""
    return st.lists(IDS, unique=True, max_size=4).map(tuple)


BORDERS = st.builds(Border, width_mm=st.integers(3, 40).map(float), finish=FINISHES)
STRIPES = st.builds(
    Stripes,
    count=st.integers(1, 2),
    width_mm=st.integers(50, 600).map(float),
    gap_mm=st.integers(0, 400).map(float),
    offset_mm=st.integers(-600, 600).map(float),
    finish=FINISHES,
    border=st.none() | BORDERS,
)
VEHICLES = st.builds(
    Vehicle,
    body=st.sampled_from(["sedan", "coupe", "suv", "van"]),
    size=st.builds(GivenSize, length_mm=LENGTHS, width_mm=LENGTHS, height_mm=LENGTHS, wheelbase_mm=LENGTHS),
    paint=st.sampled_from(Paint),
    features=st.none() | st.frozensets(st.sampled_from(["badges", "fog_lamps", "roof_rails"])),
    fuel_door=st.none() | st.sampled_from([Side.LEFT, Side.RIGHT]),
    surfaces=tables(st.sampled_from(NAMEABLE_MATERIALS)),
    stripes=st.none() | STRIPES,
    paint_condition=st.sampled_from(PaintCondition),
    resprayed=tables(DAYS),
    correction=st.sampled_from(Correction),
    remove_film=id_lists(),
    coated=st.booleans(),
)
SELECTIONS = st.builds(
    Selection,
    vehicle=VEHICLES,
    package=st.sampled_from(Package),
    add=id_lists(),
    remove=id_lists(),
    default_finish=FINISHES,
    panel_finishes=tables(FINISHES),
    edges=st.sampled_from(Treatment),
    lamps=st.dictionaries(st.sampled_from(LAMP_GROUPS), st.sampled_from(LampFilm)).map(MappingProxyType),
    windshield=st.sampled_from([LampFilm.NONE, LampFilm.CLEAR]),
    region=st.none() | st.sampled_from(["us", "un", "none"]),
    drop_off=st.none() | DAYS,
)
