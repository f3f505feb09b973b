"""Body styles from their files: every one of ours is sound, and a broken one is refused with its file and the path of each fault."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml

from configurator.domain.body.checking import build_faults
from configurator.errors import InvalidData
from configurator.loading.body_styles import BODIES, load_body_style, load_body_styles

FILES = sorted(BODIES.glob("*.yaml"))


def test_the_eight_styles_are_there_by_their_file_names() -> None:
    assert set(load_body_styles()) == {"convertible", "coupe", "hatchback", "pickup", "sedan", "suv", "van", "wagon"}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_our_own_files_are_sound_and_build_with_all_that_they_can_have(path: Path) -> None:
    assert list(build_faults(load_body_style(path))) == []


def broken(folder: Path, change: Callable[[dict[str, Any]], object], *, name: str = "sedan.yaml") -> list[tuple[str, str]]:
    """The faults (path, code) of our sedan after a change; the file is named in the refusal."""
    document = yaml.safe_load((BODIES / "sedan.yaml").read_text(encoding="utf-8"))
    change(document)
    path = folder / name
    path.write_text(yaml.safe_dump(document), encoding="utf-8")
    with pytest.raises(InvalidData) as refused:
        load_body_style(path)
    assert refused.value.file == name
    return [(fault.path, fault.code) for fault in refused.value.faults]


def _set(*keys: str | int, to: object) -> Callable[[dict[str, Any]], object]:
    def change(document: dict[str, Any]) -> None:
        place: Any = document
        for key in keys[:-1]:
            place = place[key]
        place[keys[-1]] = to

    return change


def _drop(*keys: str | int) -> Callable[[dict[str, Any]], object]:
    def change(document: dict[str, Any]) -> None:
        place: Any = document
        for key in keys[:-1]:
            place = place[key]
        del place[keys[-1]]

    return change


BOW_TIE = [["side", 1155, 703, "corner"], ["side", 1303, 665, "corner"], ["side", 1311, 711, "corner"], ["side", 1187, 659, "corner"]]
FROM_MIDDLE = "must_run_from_middle_to_middle"
WRONG = {
    "a key that nobody knows": (_set("skin", "wings", to=[[0, 0], [1, 1]]), "skin.wings", "unknown_key"),
    "a curve that is missing": (_drop("skin", "shoulder"), "skin.shoulder", "missing"),
    "a section that is missing": (_drop("outlines"), "outlines", "missing"),
    "a newer file": (_set("version", to=2), "version", "too_large"),
    "a word where a length belongs": (_set("section", "waist_mm", to="high"), "section.waist_mm", "must_be_a_number"),
    "no number": (_set("running", "rim_share", to=float("nan")), "running.rim_share", "must_be_a_number"),
    "a length beyond any car": (_set("running", "tyre_width_mm", to=90_000), "running.tyre_width_mm", "too_large"),
    "a range upside down": (_set("size", "plausible", "width_mm", to=[1970, 1720]), "size.plausible.width_mm", "not_a_range"),
    "a typical size outside its own range": (_set("size", "typical", "height_mm", to=1700), "size.typical.height_mm", "too_large"),
    "an unknown feature": (_set("features", "usual", 1, to="wings"), "features.usual[1]", "not_a_choice"),
    "a fuel door in the middle": (_set("fuel_door", to="centre"), "fuel_door", "not_a_choice"),
    "a point with a number missing": (_set("skin", "sill", 1, to=[870]), "skin.sill[1]", "not_a_point"),
    "a profile that turns back": (_set("skin", "shoulder", 2, to=[250, 800]), "skin.shoulder[2]", "does_not_rise"),
    "a curve of one point": (_set("cuts", "rocker_top", to=[["side", 1100, 292]]), "cuts.rocker_top", "too_few_points"),
    "a view from below": (_set("cuts", "bottom", 2, 0, to="below"), "cuts.bottom[2][0]", "not_a_choice"),
    "a point beside the body": (_set("outlines", "headlamp", 1, to=["front", 560, 1400]), "outlines.headlamp[1]", "off_the_body"),
    "an outline that crosses itself": (_set("outlines", "fender_vent", to=BOW_TIE), "outlines.fender_vent", "crosses_itself"),
    "a half outline off the middle": (_set("outlines", "grille", 0, to=["front", 60, 712]), "outlines.grille", FROM_MIDDLE),
    "a rear door without a handle": (_drop("side_patches", "rear_handle"), "side_patches.rear_handle", "missing"),
    "a patch turned round": (_set("top_patches", "sunroof", "x_to_mm", to=2000), "top_patches.sunroof", "ends_before_it_starts"),
    "a mirror of two numbers": (_set("mirror", "half_mm", to=[95, 112]), "mirror.half_mm", "not_a_point"),
    "recesses of no panel": (_set("recesses", to={"wing": 2}), "recesses.wing", "unknown_key"),
    "a grille that nobody can draw": (_set("face", "grille", to="waffle"), "face.grille", "not_a_choice"),
    "a face's key that nobody knows": (_set("face", "moustache", to=1), "face.moustache", "unknown_key"),
    "an exhaust of three numbers": (_set("face", "exhausts", to=[[0.6, 0.1, 90]]), "face.exhausts[0]", "not_a_point"),
    "a lamp's span past its end": (_set("face", "lampspan", to=[0.1, 1.4]), "face.lampspan[1]", "too_large"),
}  # fmt: skip


@pytest.mark.parametrize("what", WRONG)
def test_a_broken_file_is_refused_with_the_path_of_its_fault(what: str, tmp_path: Path) -> None:
    change, path, code = WRONG[what]

    assert (path, code) in broken(tmp_path, change)


def test_a_file_under_another_name_is_refused(tmp_path: Path) -> None:
    assert ("id", "id_is_not_the_file_name") in broken(tmp_path, lambda document: None, name="limousine.yaml")


def test_every_fault_is_named_at_once(tmp_path: Path) -> None:
    def change(document: dict[str, Any]) -> None:
        document["section"]["waist_mm"] = "high"
        document["fuel_door"] = "centre"
        del document["skin"]["sill"]

    assert {path for path, _ in broken(tmp_path, change)} >= {"section.waist_mm", "fuel_door", "skin.sill"}


def test_a_folder_of_own_styles_is_read_like_ours(tmp_path: Path) -> None:
    text = (BODIES / "wagon.yaml").read_text(encoding="utf-8")
    (tmp_path / "estate.yaml").write_text(text.replace("id: wagon", "id: estate"), encoding="utf-8")

    assert set(load_body_styles(tmp_path)) == {"estate"}


def test_a_style_that_loses_a_panel_says_which(tmp_path: Path) -> None:
    """Sound curves can still make no car: a front bumper that reaches back to the door leaves no fender."""
    document = yaml.safe_load((BODIES / "sedan.yaml").read_text(encoding="utf-8"))
    document["cuts"]["front_bumper"] = [["side", 1700, 100], ["side", 1700, 420], ["side", 1700, 700], ["side", 1700, 900]]
    path = tmp_path / "sedan.yaml"
    path.write_text(yaml.safe_dump(document), encoding="utf-8")

    faults = list(build_faults(load_body_style(path)))

    assert ("panel_missing", "fender_left") in [(fault.code, fault.facts.get("panel")) for fault in faults]
