"""Passwords and one-time codes, against the standards they follow."""

import base64
from datetime import UTC, datetime, timedelta

import pytest
from argon2 import PasswordHasher, extract_parameters
from argon2.profiles import RFC_9106_LOW_MEMORY

from configurator.domain.review import Actor
from configurator.domain.staff import User
from configurator.errors import InvalidInput
from configurator.services.access import one_time_codes, passwords
from configurator.services.links import Links, token_hash

INES = User(
    id=1, email="ines.calder@film.example", name="Ines Calder", role=Actor.OWNER, is_active=True, language=None, keys_on=True,
    has_password=True, has_second_factor=False, has_pin=False,
)  # fmt: skip


def test_hashes_are_made_as_rfc_9106_recommends() -> None:
    """RFC 9106 section 4, second recommended option: Argon2id, t=3, p=4, m=64 MiB, salt 128 bits, tag 256 bits."""
    parameters = extract_parameters(PasswordHasher().hash("x"))

    assert parameters == RFC_9106_LOW_MEMORY
    assert (parameters.time_cost, parameters.parallelism, parameters.memory_cost) == (3, 4, 64 * 1024)


def test_a_password_fits_its_own_hash_alone() -> None:
    stored = passwords.hash_password("quiet river stones")

    assert passwords.is_right("quiet river stones", stored)
    assert not passwords.is_right("quiet river stone", stored)
    assert not passwords.is_right("quiet river stones", None)
    assert not passwords.is_right("quiet river stones", "not a hash")
    assert passwords.hash_password("quiet river stones") != stored


@pytest.mark.parametrize("good", ["quiet river stones", "x" * 6 + "abcdefgh", "ünïcödé phrase", "p" * 58 + " and a few more"])
def test_these_may_be_passwords(good: str) -> None:
    """OWASP ASVS 5.0: 6.2.9 at least 64 characters must be possible, 6.2.5 no rule of composition."""
    assert passwords.checked_password(good, INES) == good


@pytest.mark.parametrize(
    ("bad", "code"),
    [
        ("short", "password_short"),
        ("elevenchars", "password_short"),
        ("aaaaaaaaaaaaaaa", "password_guessable"),
        ("Ines Calder 12", "password_guessable"),
        ("ines.calder@film.example", "password_guessable"),
        ("x" * 129, "text_too_long"),
    ],
)
def test_these_may_not(bad: str, code: str) -> None:
    with pytest.raises(InvalidInput) as refused:
        passwords.checked_password(bad, INES)

    assert refused.value.faults[0].code == code


RFC_SECRET = b"12345678901234567890"


@pytest.mark.parametrize(
    ("counter", "expected"),
    list(enumerate(["755224", "287082", "359152", "969429", "338314", "254676", "287922", "162583", "399871", "520489"])),
)
def test_hotp_is_as_in_rfc_4226(counter: int, expected: str) -> None:
    """RFC 4226 appendix D."""
    assert one_time_codes.hotp(RFC_SECRET, counter) == expected


@pytest.mark.parametrize(
    ("seconds", "expected"),
    [
        (59, "94287082"),
        (1111111109, "07081804"),
        (1111111111, "14050471"),
        (1234567890, "89005924"),
        (2000000000, "69279037"),
        (20000000000, "65353130"),
    ],
)
def test_totp_is_as_in_rfc_6238(seconds: int, expected: str) -> None:
    """RFC 6238 appendix B, SHA-1, eight digits."""
    step = one_time_codes.step_of(datetime.fromtimestamp(seconds, UTC))

    assert one_time_codes.hotp(RFC_SECRET, step, digits=8) == expected


def test_a_code_is_taken_once_and_one_step_either_side() -> None:
    now = datetime(2027, 3, 8, 12, 0, tzinfo=UTC)
    code = one_time_codes.hotp(RFC_SECRET, one_time_codes.step_of(now))

    for shift in (-30, 0, 30):
        assert one_time_codes.matching_step(RFC_SECRET, code, now + timedelta(seconds=shift), after=None) is not None
    for shift in (-61, 61):
        assert one_time_codes.matching_step(RFC_SECRET, code, now + timedelta(seconds=shift), after=None) is None
    step = one_time_codes.matching_step(RFC_SECRET, f" {code[:3]} {code[3:]} ", now, after=None)
    assert one_time_codes.matching_step(RFC_SECRET, code, now, after=step) is None


def test_the_secret_is_written_as_apps_take_it() -> None:
    """RFC 4648 section 6."""
    assert base64.b32decode(one_time_codes.as_base32(RFC_SECRET)) == RFC_SECRET
    assert "secret=GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ" in one_time_codes.provisioning_uri(
        RFC_SECRET, account="a@b.example", issuer="Film Bay"
    )


def test_secrets_of_one_purpose_say_nothing_about_another() -> None:
    links = Links("a test secret that is long enough to be one")

    assert links.derive("second factor", "n")[:18] != links.derive("private page", "n")[:18]
    assert links.private_token("one") == links.private_token("one")
    assert links.private_token("one") != links.private_token("two")
    assert Links("another secret that is long enough too").private_token("one") != links.private_token("one")
    assert len(base64.urlsafe_b64decode(links.private_token("one"))) * 8 >= 128, "OWASP ASVS 5.0 7.2.3"
    assert token_hash("\ud800 half a character") == token_hash("\ud800 half a character")
