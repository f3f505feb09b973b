"""Every rule and every caution names where it comes from and how that is known."""

import re
from itertools import chain

import pytest

from configurator.domain.rules import Citation, Known, RuleSet
from configurator.loading.cautions import load_cautions
from configurator.loading.light_rules import load_rule_sets

RULES = load_rule_sets()
REGIONS = ("us", "un", "uk", "ca", "au", "jp", "none")


def citations(rule_set: RuleSet) -> list[Citation]:
    glass = (rule_set.glass,) if rule_set.glass else ()
    return [rule.source for rule in chain(rule_set.lamps, rule_set.covers, glass)]


def test_every_region_of_the_contract_has_a_rule_set() -> None:
    assert set(REGIONS) == set(RULES)


@pytest.mark.parametrize("region", [region for region in REGIONS if region != "none"])
def test_every_rule_has_a_standard_a_place_in_it_a_date_and_how_it_is_known(region: str) -> None:
    found = citations(RULES[region])

    assert found
    for citation in found:
        assert re.search(r"\w{2,}", citation.standard)
        assert citation.place.strip()
        assert re.fullmatch(r"(19|20)\d\d(-\d\d-\d\d)?", citation.date)
        assert citation.known in Known


def test_the_region_without_a_known_rule_has_none() -> None:
    assert RULES["none"].knows_nothing
    assert not any(RULES[region].knows_nothing for region in REGIONS if region != "none")


@pytest.mark.parametrize("region", [region for region in REGIONS if region != "none"])
def test_every_limit_lies_between_nothing_and_all_the_light(region: str) -> None:
    assert all(0 < limit.share < 1 for rule in RULES[region].lamps for limit in rule.limits)


def test_cautions_have_a_source_or_say_that_they_are_common_practice() -> None:
    """Sources read: NIOSH Pocket Guide, 49 USC 30122, FMVSS 108 with its agency letters, Australia's notice, Directive 2014/45/EU."""
    sources = {rule.code: rule.source for rule in load_cautions() if rule.source is not None}

    assert sources["solvents"].startswith("NIOSH")
    assert sources["light_shop_in_breach"] == "49 USC 30122(b)"
    assert set(sources) == {"solvents", "light_shop_in_breach", "headlamp_cover_us", "headlamp_cover_au", "inspection_of_dimmed_lamps"}
