"""The verifier finds every way in which a plan can be wrong. It is tried on a plan that is right, spoilt in one place each time."""

from dataclasses import replace

import numpy as np
import pytest

from configurator.domain.film_plan.records import FilmPlan, Piece, Placement, RollPlan
from configurator.domain.film_plan.verify import verify
from tests.domain.film_plan.rectangles import rectangle

A = rectangle("a", 400, 300)
B = rectangle("b", 500, 200)
C = rectangle("c", 300, 100, directional=True)
GOOD = (Placement(A, 0, 0, 0), Placement(B, 90, 620, 0), Placement(C, 180, 300, 500))


def plan(*placements: Placement, length_mm: float = 700, width_mm: float = 1000) -> FilmPlan:
    return FilmPlan("quick", (RollPlan("clear", width_mm, length_mm, placements),))


def codes(spoilt: FilmPlan, pieces: tuple[Piece, ...] = (A, B, C), *, separation_mm: float = 0.0) -> set[str]:
    return {flaw.code for flaw in verify(spoilt, pieces, separation_mm=separation_mm)}


def test_a_plan_that_can_be_cut_has_no_flaw() -> None:
    assert codes(plan(*GOOD)) == set()


@pytest.mark.parametrize(
    ("spoilt", "code"),
    [
        (plan(*GOOD[:2]), "missing"),
        (plan(*GOOD, GOOD[0]), "doubled"),
        (plan(*GOOD, Placement(rectangle("d", 10, 10), 0, 600, 900)), "unknown"),
        (plan(replace(GOOD[0], piece=replace(A, cut=A.cut * 0.9)), *GOOD[1:]), "altered"),
        (plan(replace(GOOD[0], x_mm=float("nan")), *GOOD[1:]), "not_finite"),
        (plan(replace(GOOD[0], angle_deg=45.0), *GOOD[1:]), "turned"),
        (plan(*GOOD[:2], Placement(C, 90, 300, 500)), "turned"),
        (plan(replace(GOOD[0], x_mm=-1.0), *GOOD[1:]), "outside"),
        (plan(*GOOD, length_mm=600), "outside"),
        (plan(replace(GOOD[0], x_mm=200), *GOOD[1:]), "overlap"),
        (plan(*GOOD, length_mm=float("nan")), "not_finite"),
    ],
)
def test_a_plan_spoilt_in_one_place_is_found_out(spoilt: FilmPlan, code: str) -> None:
    assert code in codes(spoilt)


def test_touching_is_no_overlap_and_too_near_is_said() -> None:
    touching = plan(Placement(A, 0, 0, 0), Placement(B, 0, 0, 300), Placement(C, 0, 0, 500))

    assert codes(touching) == set()
    assert codes(touching, separation_mm=5.0) == {"too_close"}


@pytest.mark.parametrize("shift", np.linspace(0.2, 399, 7))
def test_any_shift_into_a_neighbour_is_found(shift: float) -> None:
    moved = plan(Placement(A, 0, 0, 0), Placement(B, 0, 400 - shift, 0), Placement(C, 0, 0, 500), length_mm=1000)

    assert "overlap" in codes(moved)


def test_margins_may_meet_where_there_is_no_film() -> None:
    """Both pieces are as broad as the roll: their margins meet beyond its edges only, where nothing is cut."""
    house = [(0.0, 0.0), (200.0, 0.0), (200.0, 980.0), (0.0, 980.0)]
    first, second = (replace(rectangle(id, 200, 980), nest=_flared(house)) for id in ("p", "q"))
    beside = plan(Placement(first, 0, 30, 10), Placement(second, 0, 290, 10), length_mm=520)

    assert codes(beside, (first, second)) == set()


def _flared(ring: list[tuple[float, float]]) -> np.ndarray:
    """A margin of 30 mm that bulges out past both ends of the piece."""
    (x0, y0), (x1, _), (_, y1), _ = ring
    bulge = [(x0 - 60, y0 - 40), (x1 + 60, y0 - 40), (x1 + 30, y0 - 10), (x1 + 30, y1 + 10)]
    return np.array([*bulge, (x1 + 60, y1 + 40), (x0 - 60, y1 + 40), (x0 - 30, y1 + 10), (x0 - 30, y0 - 10)])
