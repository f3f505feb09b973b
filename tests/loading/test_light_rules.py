"""Rule sets from files: ours, a shop's own, and what is refused with file and path."""

from pathlib import Path

import pytest

from configurator.domain.rules import Bound
from configurator.errors import InvalidData
from configurator.loading.light_rules import load_rule_set, load_rule_sets
from configurator.loading.shop import load_shop

OWN = """\
region: nz
usual_glass: 0.78
lamps:
  - lamp: tail_lamps
    function: tail
    minimum: 4
    maximum: 17
    limits:
      - {bound: true_bound, least: 4, most: 17, why: "H-V has both."}
    standard: Land Transport Rule
    place: Vehicle Lighting
    date: "2004"
    known: memory
"""


def write(folder: Path, text: str, name: str = "nz.yaml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def faults_of(path: Path) -> list[tuple[str, str]]:
    with pytest.raises(InvalidData) as refused:
        load_rule_set(path)
    assert refused.value.file == path.name
    return [(fault.path, fault.code) for fault in refused.value.faults]


def test_a_shop_adds_a_region_of_its_own(tmp_path: Path) -> None:
    write(tmp_path, OWN)

    rules = load_rule_sets(tmp_path)

    assert set(rules) == {*load_rule_sets(), "nz"}
    assert [limit.bound for limit in rules["nz"].lamps[0].limits] == [Bound.TRUE]
    assert rules["nz"].lamps[0].limits[0].share == pytest.approx(4 / 17)


def test_a_shops_own_file_takes_the_place_of_ours(tmp_path: Path) -> None:
    write(tmp_path, "region: jp\nusual_glass: 0.8\n", "jp.yaml")

    assert load_rule_sets(tmp_path)["jp"].knows_nothing
    assert not load_rule_sets()["jp"].knows_nothing


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("usual_glass: 0.78\n", "", ("usual_glass", "missing")),
        ("region: nz", "region: NZ!", ("region", "bad_region_id")),
        ("region: nz", "region: au", ("region", "region_is_not_the_file")),
        ("tail_lamps", "tail_lights", ("lamps[0].lamp", "not_a_choice")),
        ("maximum: 17", "maximum: 3", ("lamps[0].maximum", "maximum_below_minimum")),
        ("maximum: 17", "maximum: .nan", ("lamps[0].maximum", "must_be_a_number")),
        ("minimum: 4", "minimum: bright", ("lamps[0].minimum", "must_be_a_number")),
        ("bound: true_bound", "bound: sure", ("lamps[0].limits[0].bound", "not_a_choice")),
        ("least: 4, most: 17", "least: 17, most: 4", ("lamps[0].limits[0].most", "maximum_below_minimum")),
        (", least: 4, most: 17", "", ("lamps[0].limits[0]", "limit_without_share")),
        ("least: 4, most: 17", "share: 1.2", ("lamps[0].limits[0].share", "too_large")),
        (', why: "H-V has both."', "", ("lamps[0].limits[0].why", "missing")),
        ("    place: Vehicle Lighting\n", "", ("lamps[0].place", "missing")),
        ("known: memory", "known: hearsay", ("lamps[0].known", "not_a_choice")),
        ('date: "2004"', "date: 2004", ("lamps[0].date", "must_be_text")),
        ("region: nz", "region: nz\ncolour: red", ("colour", "unknown_key")),
    ],
)
def test_a_bad_file_is_refused_with_its_name_and_the_path(tmp_path: Path, old: str, new: str, fault: tuple[str, str]) -> None:
    assert old in OWN

    assert fault in faults_of(write(tmp_path, OWN.replace(old, new, 1)))


def test_every_fault_of_a_file_is_named_at_once(tmp_path: Path) -> None:
    text = OWN.replace("tail_lamps", "lights").replace("known: memory", "known: no")

    assert len(faults_of(write(tmp_path, text))) == 2


def test_a_rule_about_covers_names_lamps_films_status_and_source(tmp_path: Path) -> None:
    text = """\
region: nz
usual_glass: 0.78
covers:
  - lamps: [roof]
    films: pink
    status: legal
    standard: Some Act
    place: section 1
    date: "2004"
    known: text
"""

    assert faults_of(write(tmp_path, text)) == [
        ("covers[0].lamps[0]", "not_a_choice"),
        ("covers[0].films", "not_a_choice"),
        ("covers[0].status", "not_a_choice"),
    ]


def test_a_file_that_is_not_yaml_is_refused(tmp_path: Path) -> None:
    path = write(tmp_path, "region: [nz\n")
    with pytest.raises(InvalidData) as refused:
        load_rule_set(path)

    assert refused.value.file == "nz.yaml"


def test_a_shop_with_rules_of_its_own_knows_their_region(tmp_path: Path) -> None:
    write(tmp_path, OWN)

    assert "nz" in load_shop(light_rules=tmp_path).rules
