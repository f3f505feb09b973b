"""The six published strip-packing instances of ESICUP (provenance and licence: nesting/README.md).

Areas, counts and best-known lengths: the table of the instances with the records of the solver's repository. A plan denser than the best
known would mean that pieces overlap.
"""

import json
from dataclasses import fields
from pathlib import Path

import numpy as np
import pytest
import shapely

from configurator.domain.film_plan.nesting import nest
from configurator.domain.film_plan.records import FilmPlan, Piece, RollPlan
from configurator.domain.film_plan.verify import verify
from tests.domain.film_plan.rectangles import piece

FOLDER = Path(__file__).parent / "nesting"

# name: (pieces, strip width, total area, best-known length)
TABLE = {
    "shapes0": (43, 40.004, 1596.0, 57.0121),
    "fu": (12, 38.0038, 1083.0, 30.8425),
    "dagli": (30, 60.0, 3034.5, 56.0872),
    "shirts": (99, 40.0, 2160.0, 59.3930),
    "swim": (48, 5752.0, 25_445_023.79, 5541.653),
    "trousers": (64, 79.0, 17_206.5, 235.1718),
}


def instance(name: str) -> tuple[float, list[tuple[str, np.ndarray, list[float]]]]:
    """Strip width, and (id, outline, allowed angles) once for each piece demanded."""
    document = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    items = []
    for item in document["items"]:
        ring = np.array(item["shape"]["data"], dtype=float)[:-1]
        items += [(f"{item['id']}-{n}", ring, item["allowed_orientations"]) for n in range(item["demand"])]
    return document["strip_height"], items


@pytest.mark.parametrize("name", TABLE)
def test_an_instance_is_read_as_its_table_says(name: str) -> None:
    width, items = instance(name)
    count, strip, area, _ = TABLE[name]

    assert (len(items), width) == (count, pytest.approx(strip, rel=1e-6))
    assert sum(shapely.Polygon(ring).area for _, ring, _ in items) == pytest.approx(area, rel=1e-6)


@pytest.mark.parametrize("name", TABLE)
def test_a_plan_of_an_instance_is_sound_and_no_denser_than_the_best_known(name: str) -> None:
    """Scaled so that a strip is as wide as a roll."""
    width, items = instance(name)
    scale = 1524.0 / width
    made = [as_piece(id, ring * scale, angles) for id, ring, angles in items]
    run = nest(made, 1524.0, steps=60_000)

    assert run is not None
    assert verify(FilmPlan("quick", (RollPlan("clear", 1524.0, run.length_mm, run.placements),)), made) == ()
    area = sum(shapely.Polygon(part.cut).area for part in made)
    best_known = TABLE[name][3] * scale
    assert run.length_mm >= area / 1524.0
    assert best_known * 0.9999 <= run.length_mm <= best_known * 1.6


def as_piece(id: str, ring: np.ndarray, angles: list[float]) -> Piece:
    made = piece(id, [(float(x), float(y)) for x, y in ring], directional=sorted(angles) == [0, 180])
    return made if len(angles) > 1 else Unturned(**{field.name: getattr(made, field.name) for field in fields(made)})


class Unturned(Piece):
    """A piece that may not be turned at all, as in `shapes0`; no film asks for that."""

    @property
    def angles_deg(self) -> tuple[float, ...]:
        return (0.0,)
