"""Which locale a reader gets."""

import pytest

from configurator.wording.locales import DEFAULT_LOCALE, available_locales, known_locale, negotiate


@pytest.mark.parametrize(
    ("accepted", "chosen"),
    [
        ([], "en_US"),
        (["en"], "en_US"),
        (["en-GB"], "en_GB"),
        (["de"], "de"),
        (["de-AT", "en"], "de_AT"),
        (["fr-CA", "de-CH", "en"], "de_CH"),
        (["fr", "it"], "en_US"),
        (["de_DE"], "de_DE"),
        (["DE-at"], "de_AT"),
        (["de-XX"], "de"),
        (["x" * 200, "../../etc", "de;q=1", "*", "de"], "de"),
    ],
)
def test_the_first_language_we_have_words_in_is_taken_with_its_territory(accepted: list[str], chosen: str) -> None:
    assert negotiate(accepted) == chosen


def test_there_is_english_and_german() -> None:
    assert available_locales() == ("en_US", "de")
    assert DEFAULT_LOCALE in available_locales()


@pytest.mark.parametrize("nonsense", ["", "e", "en-", "-", "en US", "en\n", "12", "a" * 50, "en-" + "x" * 9, "\x00"])
def test_nonsense_is_no_locale(nonsense: str) -> None:
    assert known_locale(nonsense) is None
