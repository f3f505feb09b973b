"""Sources: RFC 8259 (JSON), RFC 7493 (I-JSON: no duplicate names, no unpaired surrogates, numbers within a double)."""

import contextlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.errors import InvalidInput
from configurator.wire.strict_json import MAX_DEPTH, parse_json

JSON_VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**12), 10**12)
    | st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text("abcdef", min_size=1, max_size=6), inner, max_size=4),
    max_leaves=12,
)


@given(JSON_VALUES)
def test_what_the_standard_library_writes_is_read_back(value: object) -> None:
    assert parse_json(json.dumps(value, ensure_ascii=False).encode()) == value


@pytest.mark.parametrize(
    ("data", "code", "path"),
    [
        (b"", "not_json", ""),
        (b"{", "not_json", ""),
        (b"{'a': 1}", "not_json", ""),
        (b"\xff\xfe", "not_utf8", ""),
        (b'{"a": NaN}', "not_a_number", ""),
        (b'{"a": -Infinity}', "not_a_number", ""),
        (b'{"a": 1e999}', "number_out_of_range", ""),
        (b'{"a": ' + b"9" * 500 + b"}", "number_out_of_range", ""),
        (b'{"a": {"b": 1, "b": 2}}', "duplicate_name", "b"),
        (b'{"a": {"b": ["x", "\\u0000"]}}', "unreadable_text", "a.b[1]"),
        (b'{"a": "\\ud800"}', "unreadable_text", "a"),
        (b"[" * 10_000, "nested_too_deeply", ""),
        (b'"' + b"x" * 1_000_001 + b'"', "document_too_large", ""),
    ],
)
def test_what_a_lenient_parser_lets_through_is_refused(data: bytes, code: str, path: str) -> None:
    with pytest.raises(InvalidInput) as refused:
        parse_json(data)

    assert [(fault.code, fault.path) for fault in refused.value.faults] == [(code, path)]


def test_depth_at_the_bound_is_read_and_one_more_is_not() -> None:
    assert parse_json(b"[" * MAX_DEPTH + b"]" * MAX_DEPTH) is not None
    with pytest.raises(InvalidInput):
        parse_json(b"[" * (MAX_DEPTH + 1) + b"]" * (MAX_DEPTH + 1))


def test_brackets_inside_strings_are_no_depth() -> None:
    assert parse_json(b'"' + b"[" * 100 + b'"') == "[" * 100


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused_but_never_crash(data: bytes) -> None:
    with contextlib.suppress(InvalidInput):
        parse_json(data)
