"""Sentences, names and figures for one reader."""

import datetime as dt
from decimal import Decimal

import pytest

from configurator.domain.message import Message
from configurator.errors import Fault
from configurator.wording import messages
from configurator.wording.filling import MissingFact, fill, placeholders
from configurator.wording.marks import NP_
from configurator.wording.words import Words, words_for


@pytest.fixture
def english() -> Words:
    return Words("en_US")


@pytest.fixture
def german() -> Words:
    return Words("de")


# --- sentences


def test_a_message_is_filled_with_its_facts_as_the_reader_writes_them(english: Words, german: Words) -> None:
    message = Message("glass_assumed", {"share": 0.76})

    assert "76%" in english.message(message)
    assert "76 %" in german.message(message).replace("\xa0", " ")


def test_dates_money_days_and_names_are_printed_by_their_format(monkeypatch: pytest.MonkeyPatch, english: Words) -> None:
    sentence = "{panel:panel}: {day:date}, {price:money}, {wait:days}, {depth_mm:length}"
    monkeypatch.setitem(messages.MESSAGES, "any", sentence)
    facts = {"panel": "hood", "day": dt.date(2027, 3, 8), "price": Decimal(1200), "currency": "USD", "wait": 1, "depth_mm": 600}

    assert english.message(Message("any", facts)) == "Hood: March 8, 2027, $1,200, 1 day, 600 mm"


def test_a_sentence_bends_with_its_number(monkeypatch: pytest.MonkeyPatch, english: Words) -> None:
    monkeypatch.setitem(messages.MESSAGES, "any", NP_("{count} piece", "{count} pieces", by="count"))

    assert [english.message(Message("any", {"count": count})) for count in (1, 2, 1200)] == ["1 piece", "2 pieces", "1,200 pieces"]


def test_a_list_of_facts_is_printed_as_a_list(english: Words) -> None:
    monday = Fault("x", "not_a_choice", {"id": "y", "choices": ("a", "b", "c")})

    assert english.fault(monday) == "“y” is not a choice here; the choices are: a, b, and c."


def test_of_several_sentences_the_first_that_fits_is_said(english: Words) -> None:
    assert english.fault(Fault("length_mm", "too_small", {"min_mm": 3400, "max_mm": 5600})) == "This must be between 3.40 m and 5.60 m."
    assert english.fault(Fault("count", "too_small", {"least": 1})) == "This must be at least 1."


def test_a_message_that_nobody_wrote_is_a_mistake_and_raises(english: Words) -> None:
    with pytest.raises(KeyError):
        english.message(Message("nobody_wrote_this"))
    with pytest.raises(MissingFact):
        english.message(Message("glass_assumed"))


@pytest.mark.parametrize(
    "fault", [Fault("x", "nobody_wrote_this"), Fault("x", "not_a_choice"), Fault("x", "day_out_of_range", {"earliest": 3})]
)
def test_a_fault_is_always_put_into_words(english: Words, fault: Fault) -> None:
    assert english.fault(fault) == messages.NOT_USABLE


def test_braces_in_a_fact_stay_as_they_are(english: Words) -> None:
    assert english.fault(Fault("x", "unknown_id", {"id": "{0.__class__}"})) == "“{0.__class__}” is not known here."


def test_gaps_are_read_with_their_format() -> None:
    assert placeholders("{a} and {b:date}, {{not this}}") == {("a", ""), ("b", "date")}


def test_gaps_are_isolated_where_words_run_right_to_left() -> None:
    """Unicode Standard Annex 9: U+2068 and U+2069 keep a name from turning the words around it."""
    assert fill("x {a} y", {"a": "b"}, lambda value, spec: str(value), isolate=True) == "x \u2068b\u2069 y"


# --- names


def test_things_have_their_trade_names(english: Words, german: Words) -> None:
    assert [english.name("panel", id) for id in ("hood", "fender_left", "front_bumper")] == ["Hood", "Left fender", "Front bumper"]
    assert [german.name("panel", id) for id in ("hood", "fender_left", "front_bumper")] == [
        "Motorhaube",
        "Kotflügel links",
        "Stoßfänger vorne",
    ]


def test_a_name_may_hang_on_the_body(english: Words) -> None:
    names = [english.name("panel", "rear_lid", body=body) for body in ("sedan", "pickup", "van", None)]

    assert names == ["Trunk lid", "Tailgate", "Rear doors", "Trunk lid or tailgate"]


def test_the_same_word_may_differ_by_what_it_names(german: Words) -> None:
    assert (german.name("package", "track"), german.name("view", "rear")) == ("Rennstrecke", "Heck")


def test_a_shops_own_id_is_printed_as_words(english: Words) -> None:
    assert english.name("film", "satin-deep_blue") == "Satin deep blue"
    assert english.name("no_such_kind", "a_b") == "A b"


def test_a_region_that_a_shop_added_is_called_by_its_country(english: Words, german: Words) -> None:
    """Country names from CLDR, by ISO 3166-1 code."""
    assert (english.name("region", "nz"), german.name("region", "nz")) == ("New Zealand", "Neuseeland")
    assert english.name("region", "our_island") == "Our island"


# --- the reader


def test_figures_follow_the_territory_and_words_the_language() -> None:
    vienna = Words("de-AT")

    assert vienna.name("panel", "hood") == "Motorhaube"
    assert vienna.money(1200, "EUR").replace("\xa0", " ") == "€ 1.200,00"
    assert (vienna.locale, vienna.language_tag, vienna.direction) == ("de_AT", "de-AT", "ltr")


def test_a_language_names_itself() -> None:
    assert [Words(locale).language_name() for locale in ("en_US", "de")] == ["English", "Deutsch"]


def test_inches_are_for_those_who_ask() -> None:
    assert (Words("en_US").length(4700), Words("en_US", inches=True).length(4700)) == ("4.70 m", "185 in")


def test_readers_of_one_locale_share_their_words() -> None:
    assert words_for("de") is words_for("de")
    assert words_for("en_US", inches=True) is not words_for("en_US")


def test_lists_are_joined_as_the_language_joins_them(english: Words, german: Words) -> None:
    assert english.list(["hood", "roof", "doors"]) == "hood, roof, and doors"
    assert english.list(["hood", "roof"], either=True) == "hood or roof"
    assert german.list(["Haube", "Dach", "Türen"]) == "Haube, Dach und Türen"


def test_a_weekday_is_named_from_its_number_or_its_date(english: Words, german: Words) -> None:
    assert (english.weekday(0), english.weekday(dt.date(2027, 3, 8)), german.weekday(6)) == ("Monday", "Monday", "Sonntag")
