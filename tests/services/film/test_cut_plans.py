"""The cut plan as data: every piece once with its number, seams that add up to what the scope says, ids that don't clash in one page."""

import re
from collections import Counter

import pytest

from configurator.services.film.cut_plans import FINISH, SPLIT, CutPlan, cut_plan, cut_plan_for
from configurator.services.film.film_planning import plan_film
from configurator.wire.film_plan import kept_film_plan, restored_film_plan
from configurator.wording.words import Words
from tests.shops import chosen, demo_shop, scoped

STRIPED = {"stripes": {"count": 2, "width_mm": 240, "gap_mm": 110, "finish": "matte", "border": {"width_mm": 6, "finish": "gloss_black"}}}


def planned(body: str, package: str, **rest: object) -> CutPlan:
    return cut_plan_for(demo_shop(), chosen(body, package, **rest), Words())  # type: ignore[arg-type]


def test_every_piece_is_listed_once_and_numbered_from_the_rolls_start() -> None:
    plan = planned("sedan", "full_body")
    film_plan = plan_film(demo_shop(), chosen("sedan", "full_body"))

    assert [roll.number for roll in plan.rolls] == list(range(1, len(film_plan.rolls) + 1))
    for drawn, roll in zip(plan.rolls, film_plan.rolls, strict=True):
        assert Counter(piece.id for piece in drawn.pieces) == Counter(placement.piece.id for placement in roll.placements)
        assert [piece.number for piece in drawn.pieces] == list(range(1, len(drawn.pieces) + 1))
        assert [round(piece.at_mm, 1) for piece in drawn.pieces] == sorted(round(piece.at_mm, 1) for piece in drawn.pieces)
        assert {piece.sheet for piece in drawn.pieces} == set(range(1, len(drawn.sheets) + 1))


@pytest.mark.parametrize("body", ["coupe", "pickup"])
def test_seams_between_finishes_add_up_to_what_the_scope_says(body: str) -> None:
    """The scope measures them on the three-dimensional body, the pieces on the flat panels."""
    selection = chosen(body, "full_body", vehicle=STRIPED)
    plan = cut_plan_for(demo_shop(), selection, Words())
    seams = [seam for seam in plan.seams if seam.kind == FINISH]

    for panel in scoped(selection).covered:
        drawn = sum(seam.length_mm for seam in seams if seam.panel == panel.id)
        assert drawn == pytest.approx(panel.seam_mm, rel=0.02, abs=1.0), panel.id


def test_a_seam_names_two_pieces_of_its_panel_where_they_are_drawn() -> None:
    plan = planned("coupe", "full_body", vehicle=STRIPED)
    listed = {(roll.number, piece.number): piece for roll in plan.rolls for piece in roll.pieces}

    assert plan.seams
    for seam in plan.seams:
        first, second = (listed[reference.roll, reference.number] for reference in (seam.first, seam.second))
        assert first.panel == second.panel == seam.panel
        assert first.title == seam.first.title
        assert first.role != second.role


def test_a_panel_broader_than_the_roll_has_a_split_and_one_in_a_single_piece_has_none() -> None:
    van, hood = planned("van", "full_body"), planned("sedan", "full_front")

    assert {seam.kind for seam in van.seams} == {SPLIT}
    assert "quarter_left" in van.jointed_panels
    assert hood.jointed_panels == ()


def test_drawings_of_one_plan_can_stand_in_one_page() -> None:
    plan = planned("sedan", "full_body")
    ids = [found for roll in plan.rolls for sheet in roll.sheets for found in re.findall(r'\bid="([^"]+)"', sheet)]

    assert ids
    assert len(ids) == len(set(ids))


def test_a_kept_plan_is_drawn_again_as_it_was() -> None:
    plan = plan_film(demo_shop(), chosen("coupe", "full_body", vehicle=STRIPED))
    again = restored_film_plan(kept_film_plan(plan))

    assert cut_plan(again, Words("de")) == cut_plan(plan, Words("de"))
