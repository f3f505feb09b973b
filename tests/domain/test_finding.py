"""What a request is found by."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.finding import query_words, search_words

WORDS = search_words(
    reference="PFB-7K3M",
    email="jose.garcia@naïve-garage.example",
    phone="+12025550123;ext=9",
    plate="B-XY 12",
    texts=("José García-Łuk", "coupe", "Grüner Kombi"),
)


def found_by(text: str) -> bool:
    """Every query word begins one of the words, as the store looks for them."""
    return all(any(word.startswith(asked) for word in WORDS) for asked in query_words(text))


@pytest.mark.parametrize(
    "typed",
    ["PFB-7K3M", "pfb7k3m", "7k3m", "jose", "José", "GARCÍA", "jose garcia", "jose.garcia@",
     "naive", "555-0123", "(202) 555-0123", "2025550123",
    "+1 202 555 0123", "bxy12", "coupe", "gruner", "kombi jose"],
)  # fmt: skip
def test_it_is_found_by(typed: str) -> None:
    assert found_by(typed)


@pytest.mark.parametrize("typed", ["7k4m", "jose smith", "maria", "555-0124", "sedan"])
def test_it_is_not_found_by(typed: str) -> None:
    assert not found_by(typed)


@settings(deadline=None)
@given(st.text(max_size=80))
def test_any_text_may_be_typed(typed: str) -> None:
    words = query_words(typed)

    assert all(word and len(word) <= 60 for word in words)
    assert not any(character.isspace() for word in words for character in word)
