"""Records survive JSON: what comes back is equal, and a wrong shape is refused."""

import json
from datetime import date, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.kept_estimate import KeptEstimate
from configurator.domain.light import FunctionLight, LampLight, LightStatus
from configurator.domain.message import Message
from configurator.storage.typed_json import decode, encode
from tests.desk_builders import a_kept_estimate

FACTS = st.one_of(
    st.text(max_size=20),
    st.integers(-(10**9), 10**9),
    st.floats(allow_nan=False, allow_infinity=False),
    st.decimals(allow_nan=False, allow_infinity=False, places=2),
    st.dates(),
    st.datetimes(timezones=st.just(timezone(timedelta(hours=-5)))),
)


def test_a_kept_estimate_comes_back_equal() -> None:
    lamp = LampLight(
        "tail_lamps", "smoke_medium", 0.35, 0.3, 0.1225, 2.857, LightStatus.LIKELY_NOT_ROAD_LEGAL,
        (FunctionLight("tail", LightStatus.CHECK_LOCALLY, "a source", 2.0, None, None, 0.7),),
    )  # fmt: skip
    kept = a_kept_estimate(light=(lamp,))

    again = decode(KeptEstimate, json.loads(json.dumps(encode(kept))))

    assert again == kept
    assert isinstance(again.price.low, Decimal)
    assert isinstance(again.light[0].status, LightStatus)


def test_an_estimate_of_nothing_comes_back_equal() -> None:
    kept = a_kept_estimate(typical=None, high=None, panels=(), reason="nothing_chosen")

    assert decode(KeptEstimate, json.loads(json.dumps(encode(kept)))) == kept


@settings(deadline=None)
@given(st.dictionaries(st.text(st.characters(categories=["Ll"]), min_size=1, max_size=8), FACTS, max_size=4))
def test_any_facts_of_a_message_come_back_with_their_kind(facts: dict[str, object]) -> None:
    message = Message("some_code", facts)  # type: ignore[arg-type]

    again = decode(Message, json.loads(json.dumps(encode(message))))

    assert again == message
    assert [type(value) for value in again.facts.values()] == [type(value) for value in facts.values()]


def test_days_and_moments_are_told_apart() -> None:
    facts = {"day": date(2027, 3, 8), "moment": datetime(2027, 3, 8, 8, 30, tzinfo=timezone(timedelta(hours=-5)))}

    assert decode(Message, encode(Message("x", facts))).facts == facts


def test_a_document_of_another_shape_is_refused() -> None:
    with pytest.raises(TypeError, match="KeptEstimate"):
        decode(KeptEstimate, [1, 2])
