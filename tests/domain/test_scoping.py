"""What is covered with what, how edges end, what comes off, and what the visitor is told, on the demo's bodies."""

from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import numpy as np
import pytest
import shapely

from configurator.domain.body.measure import area_m2, seam_length_mm
from configurator.domain.body.records import EdgeKind
from configurator.domain.finish_bands import STRIPED_PANELS
from configurator.domain.resolving import resolve
from configurator.domain.scope import Scope, ScopedPanel
from configurator.domain.scoping import scope
from configurator.domain.selection import LampFilm, Material, Treatment
from tests.shops import PACKAGES, STYLES, body_for, chosen, demo_shop, scoped

STRIPES = {"count": 2, "width_mm": 240, "gap_mm": 110, "offset_mm": 0, "finish": "matte", "border": {"width_mm": 6, "finish": "gloss"}}


def _covered(found: Scope) -> set[str]:
    return {panel.id for panel in found.covered}


# -- packages


@pytest.mark.parametrize("body", STYLES)
def test_packages_grow_panel_by_panel(body: str) -> None:
    scopes = [scoped(chosen(body, package)) for package in PACKAGES]
    for smaller, larger in pairwise(scopes):
        for panel in smaller.covered:
            assert larger.panels[panel.id].covered_area_m2 >= panel.covered_area_m2 - 1e-9


@pytest.mark.parametrize("body", STYLES)
def test_partial_front_covers_strips_with_a_visible_edge(body: str) -> None:
    found = scoped(chosen(body, "partial_front"))
    assert _covered(found) == {"front_bumper", "hood", "fender_left", "fender_right", "mirror_left", "mirror_right"}
    for id in ("hood", "fender_left", "fender_right"):
        panel = found.panels[id]
        assert 0 < panel.covered_area_m2 < panel.area_m2
        assert [edge.treatment for edge in panel.edges if edge.kind is EdgeKind.OPEN] == [Treatment.TRIMMED]
        assert panel.reason is not None
        assert panel.reason.code == "covered_in_front"
    assert found.panels["front_bumper"].covered_area_m2 == found.panels["front_bumper"].area_m2


@pytest.mark.parametrize("body", STYLES)
def test_track_covers_the_low_part_of_the_quarters(body: str) -> None:
    found = scoped(chosen(body, "track"))
    name = "bed_side_left" if body == "pickup" else "quarter_left"
    quarter = found.panels[name]
    assert 0 < quarter.covered_area_m2 < quarter.area_m2
    assert quarter.covered_panel is not None
    top = quarter.covered_panel.mesh.vertices[:, 2].max()
    wheel = max(body_for(chosen(body)).wheels, key=lambda wheel: wheel.x_mm)
    assert top == pytest.approx(wheel.tyre_radius_mm + wheel.arch_radius_mm + 60, abs=0.01)


@pytest.mark.parametrize("body", STYLES)
def test_full_body_covers_every_panel_that_takes_film_but_no_extra_zone(body: str) -> None:
    found = scoped(chosen(body, "full_body"))
    zones = ("door_edge", "door_cup", "door_sill", "loading_edge")
    for panel in found.panels.values():
        assert panel.covered == (panel.filmable and not panel.id.startswith(zones)), panel.id


def test_remove_takes_out_and_add_covers_the_whole_panel() -> None:
    assert "mirror_left" not in _covered(scoped(chosen("coupe", "full_front", remove=("mirror_left",))))
    hood = scoped(chosen("coupe", "partial_front", add=("hood",))).panels["hood"]
    assert hood.covered_area_m2 == hood.area_m2


def test_packages_pass_over_what_a_body_hasn_t() -> None:
    assert "door_rear_left" not in scoped(chosen("coupe", "full_body")).panels
    assert scoped(chosen("convertible", "track")).panels["roof"].reason.code == "no_film_on_fabric"


# -- materials and finishes


def _told(panel: str, **rest: object) -> str | None:
    reason = scoped(chosen("coupe", add=(panel,), **rest)).panels[panel].reason
    return reason.code if reason else None


def test_textured_plastic_takes_no_film_and_the_visitor_is_told_what_else_helps() -> None:
    found = scoped(chosen("coupe", add=("front_lip",), vehicle={"features": ["front_lip"]}))
    lip = found.panels["front_lip"]
    assert (lip.filmable, lip.covered, lip.covered_area_m2, lip.film) == (False, False, 0.0, None)
    assert lip.reason.code == "no_film_on_textured_plastic_filmable"
    assert (lip.reason.facts["replacement"], lip.reason.facts["filmable"]) == (Decimal(420), Decimal(690))
    assert found.is_empty


def test_a_lip_of_clear_coated_carbon_takes_film() -> None:
    vehicle = {"features": ["front_lip"], "surfaces": {"front_lip": "carbon_gloss"}}
    lip = scoped(chosen("coupe", add=("front_lip",), vehicle=vehicle)).panels["front_lip"]
    assert (lip.covered, lip.material, lip.finish) == (True, Material.CARBON_GLOSS, "gloss")


@pytest.mark.parametrize(
    ("material", "finish", "told"),
    [
        ("gloss_paint", "gloss", None),
        ("matte_paint", "matte", None),
        ("gloss_plastic", "gloss", "film_on_gloss_plastic"),
        ("carbon_gloss", "gloss", None),
        ("carbon_matte", "matte", "film_on_carbon_matte"),
        ("bright_trim", "gloss", "film_on_bright_trim"),
        ("vinyl", "gloss", "film_on_vinyl"),
    ],
)
def test_film_matches_the_surface(material: str, finish: str, told: str | None) -> None:
    hood = scoped(chosen("coupe", add=("hood",), vehicle={"surfaces": {"hood": material}})).panels["hood"]
    assert (hood.covered, hood.finish, hood.reason and hood.reason.code) == (True, finish, told)


def test_a_matte_car_gets_matte_film_and_gloss_only_with_a_word() -> None:
    assert scoped(chosen("coupe", add=("hood",), vehicle={"paint": "matte"})).panels["hood"].film == "matte-clear"
    assert _told("hood", vehicle={"paint": "matte"}, finish={"default": "gloss"}) == "gloss_on_matte"
    assert _told("hood", finish={"panels": {"hood": "matte"}}) == "matte_on_gloss"


def test_one_panel_may_have_a_finish_of_its_own() -> None:
    found = scoped(chosen("coupe", add=("hood", "roof"), finish={"panels": {"roof": "gloss_black"}}))
    assert (found.panels["hood"].film, found.panels["roof"].film) == ("gloss-clear", "gloss-black")


# -- fresh paint


@pytest.mark.parametrize(("drop_off", "covered"), [("2027-02-14", False), ("2027-02-15", True)])
def test_fresh_paint_waits_its_days(drop_off: str, covered: bool) -> None:
    """Sprayed on 1 January: 45 days later is 15 February."""
    vehicle = {"condition": {"resprayed": {"hood": "2027-01-01"}}}
    hood = scoped(chosen("coupe", "full_front", vehicle=vehicle, drop_off=drop_off)).panels["hood"]
    assert hood.covered is covered
    if not covered:
        assert hood.reason.code == "respray_too_fresh"
        assert str(hood.reason.facts["ready"]) == "2027-02-15"


def test_an_extra_zone_waits_with_the_door_it_lies_on() -> None:
    vehicle = {"condition": {"resprayed": {"door_front_left": "2027-03-01"}}}
    found = scoped(chosen("coupe", add=("door_cup_front_left", "door_cup_front_right"), vehicle=vehicle))
    assert _covered(found) == {"door_cup_front_right"}


# -- extra zones


@pytest.mark.parametrize(("zone", "host"), [("door_edge_front_left", "door_front_left"), ("loading_edge", "rear_bumper")])
def test_a_zone_on_a_covered_panel_needs_no_film_of_its_own(zone: str, host: str) -> None:
    assert _covered(scoped(chosen("sedan", add=(zone,)))) == {zone}
    both = scoped(chosen("sedan", add=(zone, host)))
    assert _covered(both) == {host}
    assert both.panels[zone].reason.code == "within_covered_panel"


def test_a_door_sill_is_covered_beside_its_door() -> None:
    assert _covered(scoped(chosen("sedan", add=("door_sill_front_left", "door_front_left")))) == {"door_sill_front_left", "door_front_left"}


# -- stripes


def test_stripes_are_followed_with_seams_of_true_length() -> None:
    """By hand: two stripes of 240 with 110 between and borders of 6: cuts at 55 - 6, 55, 295, 295 + 6 on either side."""
    hood = scoped(chosen("coupe", add=("hood", "fender_left"), vehicle={"stripes": STRIPES})).panels["hood"]
    assert [cut.y_mm for cut in hood.cuts] == [-295, -55, 55, 295]
    assert [band.role for band in hood.bands] == ["base", "stripe", "base", "stripe", "base"]
    assert [band.film for band in hood.bands] == ["gloss-clear", "matte-clear"] * 2 + ["gloss-clear"]
    assert hood.seam_mm == pytest.approx(sum(seam_length_mm(hood.panel, y) for y in (-295, -55, 55, 295)))
    assert sum(band.area_m2 for band in hood.bands) == pytest.approx(hood.covered_area_m2)


def test_a_border_in_another_finish_is_a_sliver_of_its_own() -> None:
    stripes = {**STRIPES, "border": {"width_mm": 6, "finish": "gloss_black"}}
    hood = scoped(chosen("coupe", add=("hood",), vehicle={"stripes": stripes})).panels["hood"]
    assert [band.role for band in hood.bands] == ["base", "border", "stripe", "border", "base", "border", "stripe", "border", "base"]
    assert [cut.y_mm for cut in hood.cuts] == [-301, -295, -55, -49, 49, 55, 295, 301]


def test_no_seam_where_finishes_agree() -> None:
    matte = scoped(chosen("coupe", add=("hood",), vehicle={"paint": "matte", "stripes": {**STRIPES, "border": None}})).panels["hood"]
    assert matte.cuts == ()
    assert [(band.role, band.film) for band in matte.bands] == [("base", "matte-clear")]
    assert matte.bands[0].area_m2 == pytest.approx(matte.covered_area_m2)


def test_stripes_run_over_the_middle_panels_only() -> None:
    found = scoped(chosen("coupe", "full_body", vehicle={"stripes": STRIPES}))
    assert {panel.id for panel in found.covered if panel.cuts} == set(STRIPED_PANELS)


def test_band_areas_agree_with_clipping_in_a_reference_library() -> None:
    """The hood's mesh clipped in plan by shapely, each triangle's share of its plan area times its area in space."""
    hood = scoped(chosen("coupe", add=("hood",), vehicle={"stripes": STRIPES})).panels["hood"]
    corners = hood.panel.mesh.vertices[hood.panel.mesh.triangles]
    areas = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2
    plan = shapely.polygons(corners[:, :, :2])
    for band in hood.bands:
        box = shapely.box(-1e5, max(band.y_from_mm, -1e5), 1e5, min(band.y_to_mm, 1e5))
        share = shapely.area(shapely.intersection(plan, box)) / shapely.area(plan)
        assert band.area_m2 == pytest.approx(float((areas * share).sum()) / 1e6, rel=1e-6)


# -- edges and parts that come off


@pytest.mark.parametrize("treatment", [Treatment.TRIMMED, Treatment.WRAPPED])
def test_nothing_comes_off_unless_edges_are_hidden(treatment: Treatment) -> None:
    found = scoped(chosen("coupe", "full_body", edges=str(treatment)))
    assert found.parts_off == ()
    assert {edge.treatment for panel in found.covered for edge in panel.edges if edge.kind is not EdgeKind.OPEN} == {treatment}


def test_hidden_edges_lie_under_parts_that_come_off() -> None:
    found = scoped(chosen("coupe", "full_body", edges="hidden"))
    off = {part.id for part in found.parts_off}
    assert {"front_bumper", "headlamp_left", "mirror_left", "mirror_cap_left", "handle_front_left", "roof_antenna"} <= off
    for panel in found.covered:
        for edge in panel.edges:
            under = edge.kind in (EdgeKind.GLASS, EdgeKind.LAMP, EdgeKind.PART)
            if under and edge.treatment is Treatment.HIDDEN:
                assert edge.part in off
            if edge.kind is EdgeKind.SHUT_LINE:
                assert edge.treatment is Treatment.HIDDEN


def test_the_whole_mirror_comes_off_only_when_the_door_is_covered() -> None:
    mirror = {part.id for part in scoped(chosen("coupe", add=("mirror_left",), edges="hidden")).parts_off}
    door = {part.id for part in scoped(chosen("coupe", add=("mirror_left", "door_front_left"), edges="hidden")).parts_off}
    assert mirror == {"mirror_cap_left"}
    assert {"mirror_cap_left", "mirror_left"} <= door


def test_a_strip_frees_only_what_it_reaches() -> None:
    strip = {part.id for part in scoped(chosen("sedan", "partial_front", edges="hidden")).parts_off}
    whole = {part.id for part in scoped(chosen("sedan", "full_front", edges="hidden")).parts_off}
    assert strip < whole
    assert "cowl" in whole - strip


def test_a_part_that_the_book_hasn_t_stays_on_and_its_edge_is_tucked() -> None:
    shop = demo_shop()
    book = replace(shop.book, parts={id: part for id, part in shop.book.parts.items() if id != "headlamp"})
    selection = resolve(chosen("coupe", "full_front", edges="hidden"), shop.styles, book)
    covered = scope(selection, body_for(selection), book)
    assert not [part for part in covered.parts_off if part.part == "headlamp"]
    assert {edge.treatment for panel in covered.covered for edge in panel.edges if edge.kind is EdgeKind.LAMP} == {Treatment.WRAPPED}


# -- lamps, windshield, old film


def test_lamps_come_from_their_own_key() -> None:
    found = scoped(chosen("coupe", lamps={"tail_lamps": "smoke_medium"}, windshield="clear"))
    assert {(lamp.id, lamp.film) for lamp in found.lamps} == {
        ("tail_lamp_left", LampFilm.SMOKE_MEDIUM),
        ("tail_lamp_right", LampFilm.SMOKE_MEDIUM),
    }
    assert found.windshield is not None
    assert found.windshield.area_m2 == pytest.approx(area_m2(found.windshield.panel))
    assert not found.covered
    assert not found.is_empty


def test_old_film_comes_off_panels_lamps_and_glass_alike() -> None:
    found = scoped(chosen("coupe", add=("hood",), vehicle={"prep": {"remove_film": ["windshield", "hood", "tail_lamp_left"]}}))
    assert [old.id for old in found.old_film] == ["hood", "tail_lamp_left", "windshield"]
    assert all(old.area_m2 > 0 and old.perimeter_mm > 0 for old in found.old_film)


# -- symmetry


@pytest.mark.parametrize("body", ["coupe", "suv", "pickup"])
def test_left_is_right_on_the_mirrored_car(body: str) -> None:
    """The car whose fuel door is on the other side is this one's mirror image."""
    found, mirrored = (scoped(chosen(body, "full_body", edges="hidden", vehicle={"fuel_door": side})) for side in ("left", "right"))
    for panel in found.covered:
        if panel.id.endswith("_left"):
            twin = mirrored.panels[panel.id.removesuffix("left") + "right"]
            assert (panel.covered_area_m2, panel.difficulty, panel.recesses) == (twin.covered_area_m2, twin.difficulty, twin.recesses)
            assert _lengths(panel) == pytest.approx(_lengths(twin))


def _lengths(panel: ScopedPanel) -> dict[tuple[EdgeKind, Treatment], float]:
    found: dict[tuple[EdgeKind, Treatment], float] = {}
    for edge in panel.edges:
        found[edge.kind, edge.treatment] = found.get((edge.kind, edge.treatment), 0.0) + edge.length_mm
    return found
