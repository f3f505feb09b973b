"""The catalogue of cautions from its file."""

from pathlib import Path

import pytest

from configurator.domain.cautions import Reader, Severity
from configurator.domain.price_book import PriceBook
from configurator.errors import InvalidData
from configurator.loading.cautions import load_cautions
from configurator.loading.light_rules import load_rule_sets
from configurator.loading.price_book import demo_price_book
from configurator.wording.messages import MESSAGES
from configurator.wording.names import NAMES

ONE = """\
cautions:
  - code: heat
    severity: care
    readers: [work_order]
    source: common practice, no source
    when: {covered: [roof], edges: [hidden]}
"""


@pytest.fixture
def book() -> PriceBook:
    return demo_price_book()


def refused(tmp_path: Path, text: str) -> list[tuple[str, str]]:
    path = tmp_path / "cautions.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InvalidData) as error:
        load_cautions(path)
    return [(fault.path, fault.code) for fault in error.value.faults]


def test_every_caution_has_its_sentence_and_somebody_to_read_it() -> None:
    for rule in load_cautions():
        assert rule.code in MESSAGES
        assert rule.readers
        assert rule.severity in Severity


def test_what_cautions_ask_for_exists(book: PriceBook) -> None:
    """Panels, parts, features and regions by name: a typing error would make a caution silent."""
    panels, features = NAMES["panel"], NAMES["feature"]
    for rule in load_cautions():
        asked = rule.when
        for pattern in asked.covered:
            assert pattern == "*" or any(panel.startswith(pattern.removesuffix("*")) for panel in panels), pattern
        assert {part for part in asked.parts if part != "*"} <= set(book.parts), rule.code
        assert set(asked.features) <= set(features), rule.code
        assert set(asked.regions) <= set(load_rule_sets()), rule.code


def test_the_usual_dangers_of_the_trade_are_all_there() -> None:
    """Common practice: what a shop warns of and an insurer asks about."""
    codes = {rule.code for rule in load_cautions()}

    assert codes >= {
        *("airbags_behind_pillar_trim", "airbags_behind_trim", "impact_sensors", "blades", "heat", "solvents", "high_voltage"),
        *("camera_mirrors", "parking_sensors", "respray_fresh", "old_film", "windshield_camera", "windshield_zones"),
    }


def test_whoever_does_the_work_reads_of_everything_that_can_hurt() -> None:
    for rule in load_cautions():
        if rule.severity is Severity.STOP:
            assert Reader.WORK_ORDER in rule.readers, rule.code


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("severity: care", "severity: grave", ("cautions[0].severity", "not_a_choice")),
        ("readers: [work_order]", "readers: [everyone]", ("cautions[0].readers[0]", "not_a_choice")),
        ("    source: common practice, no source\n", "", ("cautions[0].source", "missing")),
        ("edges: [hidden]", "edges: [folded]", ("cautions[0].when.edges[0]", "not_a_choice")),
        ("edges: [hidden]", "colour: red", ("cautions[0].when.colour", "unknown_key")),
        ("covered: [roof]", "windshield: maybe", ("cautions[0].when.windshield", "must_be_true_or_false")),
    ],
)
def test_a_bad_file_is_refused_with_the_path(tmp_path: Path, old: str, new: str, fault: tuple[str, str]) -> None:
    assert old in ONE

    assert fault in refused(tmp_path, ONE.replace(old, new, 1))


def test_a_code_named_twice_is_refused(tmp_path: Path) -> None:
    assert ("cautions", "named_twice") in refused(tmp_path, ONE + ONE.removeprefix("cautions:\n"))
