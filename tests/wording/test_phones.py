"""Phone numbers in international form: + and country, grouped as the numbering plans of libphonenumber have it."""

import pytest

from configurator.wording.phones import phone


@pytest.mark.parametrize(
    ("stored", "shown"),
    [
        ("+12025550123", "+1 202-555-0123"),
        ("+12025550123;ext=45", "+1 202-555-0123 ext. 45"),
        ("+493023125000", "+49 30 23125000"),
        ("ask for Robin", "ask for Robin"),
    ],
)
def test_a_number_is_shown_as_people_write_it(stored: str, shown: str) -> None:
    assert phone(stored) == shown
