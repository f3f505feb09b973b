"""When a quote may go out, how long it holds, and what its customer must still confirm."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from types import MappingProxyType
from zoneinfo import ZoneInfo

import pytest

from configurator.domain.estimate import Caution
from configurator.domain.firm_price import firm_price
from configurator.domain.message import Message
from configurator.domain.quote_rules import (
    confirmations,
    deposit_of,
    end_of,
    expiry_of,
    is_within_offers,
    last_offered,
    met_needs,
    still_acknowledged,
    unsettled,
)  # fmt: skip
from configurator.domain.quoting import Adjustment, Draft, Offer, Original, caution_key
from configurator.domain.review import Need
from configurator.domain.terms import OwnText, RegionalWording, Terms
from configurator.loading.price_book import demo_price_book
from tests.desk_builders import a_kept_estimate, a_lamp

NEW_YORK = ZoneInfo("America/New_York")
TODAY = date(2027, 3, 8)
TERMS = demo_price_book().terms
STOP = Caution("smoke", "stop", "tail_lamps", Message("textured_plastic", {"panel": "front_lip"}), None)


def an_offer(day: date, hour: int = 13) -> Offer:
    start = datetime(day.year, day.month, day.day, hour, 30, tzinfo=UTC)
    return Offer(start, start + timedelta(days=2), start + timedelta(days=3), 2, 3, 1)


def test_it_holds_for_the_books_days() -> None:
    """The demo's book: 14 days."""
    assert expiry_of(Draft(), TODAY, TERMS, NEW_YORK) == date(2027, 3, 22)


def test_it_never_holds_longer_than_its_last_date() -> None:
    """Product's state table: 'expiry not after the last held date'."""
    soon = Draft(offers=(an_offer(date(2027, 3, 15)), an_offer(date(2027, 3, 11))))
    late = Draft(offers=(an_offer(date(2027, 4, 5)),))

    assert expiry_of(soon, TODAY, TERMS, NEW_YORK) == date(2027, 3, 15)
    assert expiry_of(late, TODAY, TERMS, NEW_YORK) == date(2027, 3, 22)
    assert is_within_offers(date(2027, 3, 15), soon.offers, NEW_YORK)
    assert not is_within_offers(date(2027, 3, 16), soon.offers, NEW_YORK)


def test_a_dates_day_is_the_one_on_the_shops_clock() -> None:
    """02:30 UTC on the 16th is 22:30 on the 15th in New York (EDT, UTC-4; IANA tz database)."""
    assert last_offered([an_offer(date(2027, 3, 16), hour=2)], NEW_YORK) == date(2027, 3, 15)


@pytest.mark.parametrize(
    ("day", "over"),
    [
        (date(2027, 3, 13), datetime(2027, 3, 14, 5, tzinfo=UTC)),
        (date(2027, 3, 14), datetime(2027, 3, 15, 4, tzinfo=UTC)),
        (date(2027, 11, 7), datetime(2027, 11, 8, 5, tzinfo=UTC)),
    ],
)
def test_a_day_ends_at_the_shops_own_midnight_over_clock_changes(day: date, over: datetime) -> None:
    """US daylight time begins on the second Sunday of March (the 14th in 2027) and ends on the first of November (15 USC 260a)."""
    assert end_of(day, NEW_YORK) == over


def test_red_cautions_are_settled_one_by_one_and_amber_ones_need_not_be() -> None:
    twice = a_kept_estimate(cautions=(STOP, replace(STOP, where="headlamps"), replace(STOP, severity="care", where="hood")))
    one = Draft(settled=MappingProxyType({caution_key(STOP): "Show car."}))

    assert [caution.where for caution in unsettled(twice, Draft())] == ["tail_lamps", "headlamps"]
    assert [caution.where for caution in unsettled(twice, one)] == ["headlamps"]


def met(draft: Draft, **changes: object) -> frozenset[Need]:
    return met_needs(a_kept_estimate(**changes), draft, expiry_of(draft, TODAY, TERMS, NEW_YORK), TODAY, NEW_YORK)


def test_a_plain_draft_needs_nothing_more() -> None:
    assert met(Draft()) == {Need.SETTLED_CAUTIONS, Need.REASON_PER_CHANGE, Need.EXPIRY_WITHIN_HELD_DATES}


@pytest.mark.parametrize(
    ("draft", "changes", "missing"),
    [
        (Draft(), {"cautions": (STOP,)}, Need.SETTLED_CAUTIONS),
        (Draft(MappingProxyType({"film": Adjustment(Decimal("720.50"), Decimal(1), "")})), {}, Need.REASON_PER_CHANGE),
        (Draft(MappingProxyType({"film": Adjustment(Decimal("1.00"), Decimal(1), "Own stock.")})), {}, Need.REASON_PER_CHANGE),
        (Draft(expiry=date(2027, 3, 7)), {}, Need.EXPIRY_WITHIN_HELD_DATES),
        (Draft(expiry=date(2027, 3, 12), offers=(an_offer(date(2027, 3, 11)),)), {}, Need.EXPIRY_WITHIN_HELD_DATES),
    ],
)
def test_each_need_is_missed_by_itself(draft: Draft, changes: dict[str, object], missing: Need) -> None:
    assert met(Draft()) - met(draft, **changes) == {missing}


def test_the_deposit_is_a_share_of_the_price_to_the_cent() -> None:
    """A fifth of 1,975.00."""
    price = firm_price(a_kept_estimate(), Draft(), replace(demo_price_book()))

    assert deposit_of(Draft(), price, TERMS) == (price.total / 5).quantize(Decimal("0.01"))
    assert deposit_of(Draft(deposit=Decimal(0)), price, TERMS) == 0


def test_a_confirmation_holds_for_the_film_it_was_given_for() -> None:
    before = a_kept_estimate(light=(a_lamp("tail_lamps"), a_lamp("fog_lamps")))
    original = Original({}, before, frozenset({"tail_lamps"}))
    darker = replace(a_lamp("tail_lamps"), film="smoke_dark")

    assert still_acknowledged(original, (a_lamp("tail_lamps"), a_lamp("fog_lamps"))) == {"tail_lamps"}
    assert still_acknowledged(original, (darker,)) == frozenset()
    assert confirmations((a_lamp("tail_lamps"), a_lamp("fog_lamps")), {"tail_lamps"}) == (("tail_lamps",), ("fog_lamps",))


def test_the_shops_own_text_is_read_in_the_readers_language_else_in_the_first() -> None:
    text = OwnText(MappingProxyType({"en": "Free.", "de": "Kostenfrei."}))

    assert (text.read_in("de_AT"), text.read_in("en_US"), text.read_in("fr"), OwnText().read_in("de")) == (
        "Kostenfrei.",
        "Free.",
        "Free.",
        "",
    )


def test_a_region_without_its_own_wording_has_the_one_for_all() -> None:
    own, all_others = RegionalWording(accept=OwnText({"en": "Order with obligation to pay"})), RegionalWording()
    terms = Terms(14, Decimal("0.2"), "Free.", 12, 45, wording={"un": own, "default": all_others})

    assert (terms.wording_in("un"), terms.wording_in("us")) == (own, all_others)
    assert replace(terms, wording={}).wording_in("us") == RegionalWording()
