"""Cut plans as a person with a knife needs them: everything there once, large enough to read, in black and white, at a stated scale."""

import re
from functools import cache
from itertools import combinations
from xml.etree import ElementTree

import numpy as np
import pytest
import shapely

from configurator.domain.film_plan.records import SEAM, RollPlan
from configurator.domain.film_plan.spares import spare_rectangles
from configurator.drawing import cut_plan_layout as layout
from configurator.drawing.cut_plan import draw_cut_plan
from configurator.drawing.cut_plan_layout import A4, LETTER_PAPER, Sheet
from configurator.drawing.cut_plan_spots import BADGE_MM, TINY_MM, text_width
from configurator.services.film.cut_plan_words import cut_plan_labels
from configurator.services.film.film_planning import plan_film
from configurator.wording.words import Words
from tests.drawing.reading import SVG, by_class, read, words
from tests.shops import chosen, demo_shop

POINT_MM = 25.4 / 72
"""A typographer's point (1/72 inch, as in CSS and PDF)."""

SMALLEST_PT = 6.0
"""Common practice, no source: below 6 pt print is hard to read at arm's length."""

STRIPED = {"stripes": {"count": 2, "width_mm": 240, "gap_mm": 110, "finish": "matte", "border": {"width_mm": 6, "finish": "gloss_black"}}}
SELECTIONS = {
    "coupe with stripes": ("coupe", "full_body", {"vehicle": STRIPED}),
    "van": ("van", "full_body", {"edges": "hidden"}),
    "pickup": ("pickup", "full_body", {"edges": "trimmed"}),
    "suv, partial front": ("suv", "partial_front", {}),
}
SHEETS = {"a4": A4, "letter, whole": LETTER_PAPER.sheet}


@cache
def rolls(name: str) -> tuple[RollPlan, ...]:
    body, package, rest = SELECTIONS[name]
    return plan_film(demo_shop(), chosen(body, package, **rest)).rolls


@cache
def drawn(name: str, sheet: Sheet, locale: str = "en_US") -> tuple[tuple[ElementTree.Element, ...], ...]:
    """The sheets of every roll, read back."""
    body = SELECTIONS[name][0]
    return tuple(
        tuple(read(svg) for svg in draw_cut_plan(roll, cut_plan_labels(roll, Words(locale), body=body), sheet=sheet, name=f"r{index}"))
        for index, roll in enumerate(rolls(name))
    )


every_plan = pytest.mark.parametrize("name", SELECTIONS)
every_sheet = pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)


@every_plan
@every_sheet
def test_every_piece_is_drawn_and_stands_once_in_the_list_with_a_box_to_tick(name: str, sheet: Sheet) -> None:
    for roll, sheets in zip(rolls(name), drawn(name, sheet), strict=True):
        ids = {placement.piece.id for placement in roll.placements}
        pieces = {node.get("data-piece") for root in sheets for node in by_class(root, "piece")}
        named = {node.get("data-piece") for root in sheets for node in by_class(root, "label")}
        numbers = sorted(int(number) for root in sheets for number in _listed(root))

        assert pieces == named == ids
        assert numbers == list(range(1, len(ids) + 1))


def _listed(root: ElementTree.Element) -> list[str]:
    """Numbers of the lines that begin with a box to tick."""
    lines = [node for node in root.iter(f"{SVG}g") if len(node) > 1 and node[0].tag == f"{SVG}rect" and node[0].get("width") == "2.8"]
    return [line[1].text or "" for line in lines]


@every_plan
@every_sheet
@pytest.mark.parametrize("locale", ["en_US", "de"])
def test_no_letter_is_smaller_than_six_points_and_none_leaves_the_sheet(name: str, sheet: Sheet, locale: str) -> None:
    for sheets in drawn(name, sheet, locale):
        for root in sheets:
            assert root.get("viewBox") == f"0 0 {sheet.width_mm:g} {sheet.height_mm:g}"
            assert root.get("width") == f"{sheet.width_mm:g}mm"
            for text in root.iter(f"{SVG}text"):
                assert float(text.get("font-size", "0")) / POINT_MM >= SMALLEST_PT, text.text
            for text in root.findall(f"{SVG}text"):
                _assert_on_sheet(text, sheet)


def _assert_on_sheet(text: ElementTree.Element, sheet: Sheet) -> None:
    x, y = float(text.get("x", "0")), float(text.get("y", "0"))
    wide = text_width(text.text or "", float(text.get("font-size", "0")), bold=text.get("font-weight") == "bold")
    left = {"end": x - wide, "middle": x - wide / 2}.get(text.get("text-anchor", ""), x)
    assert left >= -1.0, text.text
    assert left + wide <= sheet.width_mm + 1.0, text.text
    assert 0 <= y <= sheet.height_mm, text.text


@every_plan
def test_nothing_is_told_apart_by_colour(name: str) -> None:
    for sheets in drawn(name, A4):
        for root in sheets:
            for node in root.iter():
                for paint in ("fill", "stroke"):
                    value = node.get(paint, "none")
                    assert value == "none" or value.startswith("url(#") or _is_grey(value), value


def _is_grey(colour: str) -> bool:
    digits = colour.removeprefix("#")
    parts = [digits[i : i + len(digits) // 3] for i in range(0, len(digits), len(digits) // 3)]
    return len(set(parts)) == 1


@every_plan
@every_sheet
def test_every_sheet_says_its_scale_and_carries_a_bar_of_50_mm(name: str, sheet: Sheet) -> None:
    for roll, sheets in zip(rolls(name), drawn(name, sheet), strict=True):
        scale = layout.lay_out(roll, sheet).scale
        for root in sheets:
            (bar,) = by_class(root, "control-bar")
            assert re.match(r"M[\d.]+ [\d.]+h50M", bar.get("d", ""))
            assert any(f"1:{1 / scale:.0f}," in text for text in words(root))


@every_plan
def test_a_piece_has_its_size_at_the_stated_scale(name: str) -> None:
    """Measured from the filled outline of pieces that lie whole within a row; openings are drawn as lines, so they count as film."""
    for roll, sheets in zip(rolls(name), drawn(name, A4), strict=True):
        plan = layout.lay_out(roll, A4)
        whole = {
            placement.piece.id: placement.piece.cut_area_mm2
            for rows in plan.sheets
            for row in rows
            for placement in roll.placements
            if row.start_mm <= layout.left_mm(placement)
            and np.ptp(placement.piece.cut, axis=0).max() < row.end_mm - layout.left_mm(placement)
        }
        largest: dict[str, float] = {}
        for root in sheets:
            for node in by_class(root, "piece"):
                id = node.get("data-piece", "")
                largest[id] = max(largest.get(id, 0.0), _area(node[0].get("d", "")))
        for id, area in whole.items():
            assert largest[id] == pytest.approx(area * plan.scale**2, rel=0.03, abs=0.5), id


def _area(data: str) -> float:
    rings = [np.array([[float(value) for value in pair.split()] for pair in ring.rstrip("Z").split("L")]) for ring in data.split("M")[1:]]
    return max((shapely.Polygon(ring).area for ring in rings if len(ring) > 2), default=0.0)


@every_plan
@every_sheet
def test_numbers_and_names_of_pieces_dont_lie_on_each_other(name: str, sheet: Sheet) -> None:
    for sheets in drawn(name, sheet):
        for root in sheets:
            for (first, one), (second, other) in combinations(_number_boxes(root), 2):
                assert one.intersection(other).area < 1.0, (first, second)


def _number_boxes(root: ElementTree.Element) -> list[tuple[str, shapely.Polygon]]:
    boxes = []
    for node in by_class(root, "label"):
        for child in node:
            if child.tag == f"{SVG}rect":
                x, y = (float(child.get(key, "0")) for key in ("x", "y"))
                boxes.append((node.get("data-piece", ""), shapely.box(x, y, x + TINY_MM[0], y + TINY_MM[1])))
            elif child.tag == f"{SVG}g":
                x, y = (float(value) for value in re.findall(r"translate\(([-\d.]+) ([-\d.]+)\)", child.get("transform", ""))[0])
                if len(child) == 2:
                    boxes.append((node.get("data-piece", ""), shapely.Point(x, y).buffer(BADGE_MM)))
    return boxes


@every_plan
@every_sheet
def test_a_roll_is_broken_where_few_pieces_are_cut_and_cut_off_once(name: str, sheet: Sheet) -> None:
    for roll, sheets in zip(rolls(name), drawn(name, sheet), strict=True):
        rows = [row for group in layout.lay_out(roll, sheet).sheets for row in group]
        assert [row.start_mm for row in rows[1:]] == [row.end_mm for row in rows[:-1]]
        assert (rows[0].start_mm, rows[-1].end_mm) == (0.0, roll.length_mm)
        for row in rows[:-1]:
            near = [_cut_at(roll, row.end_mm + shift) for shift in (-100.0, -50.0, 50.0)]
            assert _cut_at(roll, row.end_mm) <= min(near)
        said = [text for root in sheets for text in words(root)]
        assert sum(text.startswith("cut off at") for text in said) == 1
        assert sum(text.startswith("continues") for text in said) == len(rows) - 1


def _cut_at(roll: RollPlan, x_mm: float) -> int:
    extents = [placement.placed(placement.piece.cut)[:, 0] for placement in roll.placements]
    return sum(bool(along.min() < x_mm < along.max()) for along in extents)


@every_plan
def test_seams_are_heavy_and_a_films_direction_is_said(name: str) -> None:
    for roll, sheets in zip(rolls(name), drawn(name, A4), strict=True):
        jointed = {placement.piece.id for placement in roll.placements if SEAM in placement.piece.edge_kinds}
        heavy = {
            node.get("data-piece")
            for root in sheets
            for node in by_class(root, "piece")
            if any(child.get("class") == "seam" for child in node)
        }
        said = any("end for end" in text for root in sheets for text in words(root))

        assert heavy <= jointed
        assert said == roll.placements[0].piece.directional


@every_plan
def test_an_arrow_in_the_list_points_to_the_cars_nose(name: str) -> None:
    """The nose direction is the piece's own, turned with it; on paper y runs down."""
    for roll, sheets in zip(rolls(name), drawn(name, A4), strict=True):
        order = layout.cutting_order(roll)
        for root in sheets:
            for line in (node for node in root.iter(f"{SVG}g") if len(node) > 2 and node[0].get("width") == "2.8"):
                placement = order[int(line[1].text or "0") - 1]
                tip = placement.placed(np.array([(0.0, 0.0), placement.piece.nose]))
                expected = np.degrees(np.arctan2(-(tip[1] - tip[0])[1], (tip[1] - tip[0])[0]))
                turned = float(re.findall(r"rotate\(([-\d.]+)\)", line[2].get("transform", ""))[0])
                assert abs((turned - expected + 180) % 360 - 180) < 0.1


@every_plan
def test_offcuts_worth_keeping_are_outlined_with_their_size_and_no_number_lies_on_the_words(name: str) -> None:
    for roll, sheets in zip(rolls(name), drawn(name, A4), strict=True):
        sizes = {f"keep {spare.along_mm:,.0f} × {spare.across_mm:,.0f}" for spare in spare_rectangles(roll)}
        for root in sheets:
            for node in by_class(root, "offcut"):
                (said,) = node.iter(f"{SVG}text")
                assert said.text in sizes
                x, y = float(said.get("x", "0")), float(said.get("y", "0"))
                assert not any(box.distance(shapely.Point(x, y - 0.9)) < 1.0 for _, box in _number_boxes(root))
