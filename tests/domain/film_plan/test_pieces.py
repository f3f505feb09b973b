"""Outlines to cut: they cover what they should, carry their allowance, come in mirrored pairs, and are split for the roll."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
import shapely

from configurator.domain import estimating
from configurator.domain.film_plan import pieces as piecework
from configurator.domain.film_plan.flat_panel import FlatPanel
from configurator.domain.film_plan.pieces import pieces
from configurator.domain.film_plan.quick import plan_quick
from configurator.domain.film_plan.records import SEAM, Piece
from configurator.domain.film_plan.verify import verify
from tests.shops import STYLES, chosen, demo_shop

STRIPES = {"count": 2, "width_mm": 240, "gap_mm": 110, "finish": "matte"}


def made_for(body: str, package: str, **rest: object) -> tuple[estimating.Worked, tuple[Piece, ...]]:
    job = estimating.work(chosen(body, package, **rest), demo_shop())  # type: ignore[arg-type]
    return job, pieces(job.scope, job.body, demo_shop().book)


@pytest.mark.parametrize("body", STYLES)
@pytest.mark.parametrize("edges", ["trimmed", "wrapped", "hidden"])
def test_pieces_add_up_to_the_panels_they_come_from(body: str, edges: str) -> None:
    """To 0.1 % of each panel's covered area; what a spoiler hides of a lid is cut with it, and not counted."""
    job, made = made_for(body, "full_body", edges=edges)
    covered: Counter[str] = Counter()
    for piece in made:
        covered[piece.panel] += piece.covers_m2  # type: ignore[assignment]

    for panel in job.scope.covered:
        assert covered[panel.id] == pytest.approx(panel.covered_area_m2, rel=1e-3), panel.id


@pytest.mark.parametrize("body", ["coupe", "sedan"])
def test_stripes_are_cut_out_and_everything_still_adds_up(body: str) -> None:
    border = {"width_mm": 6, "finish": "gloss_black"}
    job, made = made_for(body, "full_body", vehicle={"stripes": STRIPES | {"border": border}})
    hood = [piece for piece in made if piece.panel == "hood"]

    assert {piece.role for piece in hood} == {"base", "stripe", "border"}
    assert {piece.film for piece in hood if piece.role == "stripe"} == {"matte-clear"}
    assert sum(piece.covers_m2 for piece in hood) == pytest.approx(job.scope.panels["hood"].covered_area_m2, rel=1e-3)
    assert all(SEAM in piece.edge_kinds for piece in hood)


def test_every_outline_is_simple_and_has_a_kind_for_every_side() -> None:
    _, made = made_for("suv", "full_body", edges="hidden")

    for piece in made:
        assert shapely.Polygon(piece.cut).is_valid, piece.id
        assert len(piece.edge_kinds) == len(piece.cut)


def test_the_margin_contains_the_cut_unless_the_roll_ends_there() -> None:
    _, made = made_for("sedan", "full_body")

    for piece in made:
        nest, cut = shapely.Polygon(piece.nest), shapely.Polygon(piece.cut)
        assert cut.difference(nest.buffer(0.01)).area < 1.0, piece.id


def test_turned_edges_need_more_film_than_trimmed_ones() -> None:
    areas = {
        edges: sum(piece.cut_area_mm2 for piece in made_for("sedan", "full_body", edges=edges)[1])
        for edges in ("trimmed", "wrapped", "hidden")
    }

    assert areas["trimmed"] < areas["wrapped"] < areas["hidden"]


def test_the_margin_gives_way_before_a_seam() -> None:
    """A hood a little narrower than the roll, with more margin than the roll has room for, stays in one piece and is planned whole."""
    job, whole = made_for("sedan", "full_front")
    (hood,) = [piece for piece in whole if piece.panel == "hood"]
    width = np.ceil(hood.breadth_mm()) + 2.0
    book = demo_shop().book
    roll = replace(book.films["gloss-clear"].rolls[0], width_mm=float(width))
    book = replace(book, films={**book.films, "gloss-clear": replace(book.films["gloss-clear"], rolls=(roll,))})
    made = pieces(job.scope, job.body, book)
    (hood,) = [piece for piece in made if piece.panel == "hood"]
    plan = plan_quick(made, book)

    assert min(hood.nest_box_mm) > width
    assert verify(plan, made, separation_mm=book.cutting.separation_mm) == ()


def test_one_millimetre_less_film_makes_a_seam() -> None:
    job, whole = made_for("sedan", "full_front")
    (hood,) = [piece for piece in whole if piece.panel == "hood"]
    book = demo_shop().book
    roll = replace(book.films["gloss-clear"].rolls[0], width_mm=hood.breadth_mm() - 1.0)
    book = replace(book, films={**book.films, "gloss-clear": replace(book.films["gloss-clear"], rolls=(roll,))})

    assert len([piece for piece in pieces(job.scope, job.body, book) if piece.panel == "hood"]) > 1


@pytest.mark.parametrize("body", ["sedan", "suv"])
def test_a_seam_on_a_centre_panel_lies_on_the_middle_or_in_pairs(body: str) -> None:
    """On film of 1,000 mm hood and roof need seams: every part has a twin of the same area, but for one across the middle."""
    job, _ = made_for(body, "full_body")
    book = demo_shop().book
    roll = replace(book.films["gloss-clear"].rolls[0], width_mm=1000.0)
    book = replace(book, films={**book.films, "gloss-clear": replace(book.films["gloss-clear"], rolls=(roll,))})
    made = pieces(job.scope, job.body, book)

    assert all(piece.breadth_mm() <= 1000.0 for piece in made if piece.film == "gloss-clear")
    for panel in ("hood", "roof"):
        areas = [piece.covers_m2 for piece in made if piece.panel == panel]
        assert len(areas) > 1
        alone = [area for area, count in Counter(round(area, 3) for area in areas).items() if count % 2]
        assert len(alone) <= 1, (panel, areas)


def test_the_least_visible_seam_is_low_and_short() -> None:
    """The van's rear quarter is broader than the roll: it is parted below the wheel arch, not across the middle."""
    _, made = made_for("van", "full_body")
    parts = [piece for piece in made if piece.panel == "quarter_left"]
    seams = sum(joint.length_mm for piece in parts for joint in piece.joints) / 2

    assert len(parts) > 1
    assert seams < 0.25 * max(piece.breadth_mm() for piece in parts)
    assert max(piece.covers_m2 for piece in parts) > 0.9 * sum(piece.covers_m2 for piece in parts)


def test_what_stands_in_a_panel_is_cut_out_and_less_so_when_it_comes_off() -> None:
    """Handles stand in a door: trimmed film ends before them, wrapped film at them, hidden film goes under them."""
    openings = {
        edges: sum(
            shapely.Polygon(opening).area
            for piece in made_for("sedan", "full_body", edges=edges)[1]
            if piece.panel.startswith("door_")
            for opening in piece.openings
        )
        for edges in ("trimmed", "wrapped", "hidden")
    }

    assert openings["trimmed"] > openings["wrapped"] > openings["hidden"] == 0.0


def test_openings_lie_within_their_piece() -> None:
    for body in STYLES:
        for piece in made_for(body, "full_body")[1]:
            shape = shapely.Polygon(piece.cut)
            assert all(shape.contains(shapely.Polygon(opening)) for opening in piece.openings), piece.id


def test_recesses_are_told_once_for_each_panel() -> None:
    job, made = made_for("coupe", "full_body", vehicle={"stripes": STRIPES})
    told: Counter[str] = Counter()
    for piece in made:
        told[piece.panel] += piece.recesses

    assert {panel.id: panel.recesses for panel in job.scope.covered if panel.recesses} == {id: count for id, count in told.items() if count}


def test_butted_pieces_know_each_other_over_the_same_length() -> None:
    border = {"width_mm": 6, "finish": "gloss_black"}
    _, made = made_for("pickup", "full_body", vehicle={"stripes": STRIPES | {"border": border}})
    lengths = {(piece.id, joint.piece): joint.length_mm for piece in made for joint in piece.joints}

    assert lengths
    for (first, second), length in lengths.items():
        assert lengths[second, first] == length


@pytest.mark.parametrize("body", STYLES)
def test_every_left_piece_is_paired_with_a_right_one(body: str) -> None:
    """But for the panel with the fuel door in it and what the fuel door makes differ."""
    _, made = made_for(body, "full_body")
    left = [piece for piece in made if "_left" in piece.panel]
    alone = {piece.panel for piece in left if piece.mirror_of is None}

    assert alone <= {"quarter_left", "bed_side_left"}
    assert len(alone) < len(left) / 4


def test_left_and_right_are_mirror_images() -> None:
    _, made = made_for("sedan", "full_body")
    by_panel = {piece.panel: piece for piece in made if piece.number == 0}
    left, right = by_panel["fender_left"], by_panel["fender_right"]

    assert left.mirror_of == right.id or right.mirror_of == left.id
    assert left.cut_area_mm2 == pytest.approx(right.cut_area_mm2, rel=1e-9)
    flipped = shapely.Polygon(left.cut * [-1, 1])
    centred = [shapely.affinity.translate(shape, -shape.centroid.x, -shape.centroid.y) for shape in (flipped, shapely.Polygon(right.cut))]
    turned = [shapely.affinity.rotate(centred[0], angle, origin=(0, 0)) for angle in (0, 90, 180, 270)]
    assert min(shape.symmetric_difference(centred[1]).area for shape in turned) < 10.0


@pytest.mark.parametrize("body", ["van", "suv"])
def test_a_panel_broader_than_the_roll_is_split_evenly(body: str) -> None:
    _, made = made_for(body, "full_body")
    roof = [piece for piece in made if piece.panel == "roof"]

    assert all(piece.breadth_mm() <= 1524 for piece in roof)
    if len(roof) > 1:
        areas = [piece.covers_m2 for piece in roof]
        assert max(areas) == pytest.approx(min(areas), rel=0.6)
        assert all(SEAM in piece.edge_kinds for piece in roof)


def test_part_coverage_ends_at_its_line() -> None:
    job, made = made_for("sedan", "partial_front")
    hood = [piece for piece in made if piece.panel == "hood"]

    assert sum(piece.covers_m2 for piece in hood) < 0.7 * job.scope.panels["hood"].area_m2
    assert any("open" in piece.edge_kinds for piece in hood)


def test_the_nose_points_somewhere() -> None:
    for piece in made_for("wagon", "full_body")[1]:
        assert np.hypot(*piece.nose) == pytest.approx(1.0, abs=1e-6)


def test_a_border_in_the_cars_own_finish_needs_no_piece_of_its_own() -> None:
    _, made = made_for("coupe", "full_body", vehicle={"stripes": STRIPES | {"border": {"width_mm": 6, "finish": "gloss"}}})

    assert {piece.role for piece in made if piece.panel == "hood"} == {"base", "stripe"}


@pytest.fixture
def a_lid_that_folds(monkeypatch: pytest.MonkeyPatch) -> None:
    """No lid of the eight styles does: as if one larger than 0.88 m2 lay on itself. `test_sections` has a panel that really does."""
    folds = property(lambda panel: float(panel.id == "rear_lid" and panel.outline.area > 880_000))
    monkeypatch.setattr(FlatPanel, "overlap_share", folds)
    monkeypatch.setattr(piecework, "_made", {})


@pytest.mark.usefixtures("a_lid_that_folds")
def test_a_panel_that_cant_lie_flat_in_one_piece_is_parted_where_the_seam_is_short() -> None:
    job, made = made_for("suv", "full_body")
    lid = [piece for piece in made if piece.panel == "rear_lid"]

    assert len(lid) == 2
    assert sum(piece.covers_m2 for piece in lid) == pytest.approx(job.scope.panels["rear_lid"].covered_area_m2, rel=1e-3)
    assert all(SEAM in piece.edge_kinds for piece in lid)
    (joint,) = lid[0].joints
    assert joint.piece == lid[1].id
    assert 0 < joint.length_mm < 400


@pytest.mark.usefixtures("a_lid_that_folds")
def test_stripes_run_on_over_both_sections_of_such_a_panel() -> None:
    job, made = made_for("suv", "full_body", vehicle={"stripes": STRIPES})
    lid = {piece.id: piece for piece in made if piece.panel == "rear_lid"}
    drawn = sum(joint.length_mm for piece in lid.values() for joint in piece.joints if piece.role != lid[joint.piece].role) / 2

    assert drawn == pytest.approx(job.scope.panels["rear_lid"].seam_mm, rel=0.02)
    assert sum(piece.covers_m2 for piece in lid.values()) == pytest.approx(job.scope.panels["rear_lid"].covered_area_m2, rel=1e-3)
