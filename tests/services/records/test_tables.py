"""Files for other programs: complete, in order, read back as written, and unable to run anything in a spreadsheet."""

import csv
import io
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.domain.inbox import InboxQuestion, View
from configurator.domain.review import CarWords, Contact
from configurator.services.records import tables
from configurator.services.records.tables import BYTE_ORDER_MARK, REQUEST_COLUMNS, as_csv, as_json, request_rows
from configurator.storage.store import SqlStore
from tests.desk_builders import a_new_request

FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", '=HYPERLINK("http://evil.example","x")', "=cmd|' /C calc'!A0"]
"""OWASP, CSV Injection: the characters that begin a formula."""


def read_csv(pieces: object) -> list[dict[str, str]]:
    text = "".join(pieces)  # type: ignore[arg-type]
    assert text.startswith(BYTE_ORDER_MARK)
    return list(csv.DictReader(io.StringIO(text.removeprefix(BYTE_ORDER_MARK), newline="")))


@pytest.mark.parametrize("formula", FORMULAS)
def test_no_cell_begins_like_a_formula(formula: str) -> None:
    [row] = read_csv(as_csv([{"name": formula}], ["name"]))

    assert row["name"] == f"'{formula}"


@given(
    st.lists(
        st.dictionaries(
            st.sampled_from(["a", "b"]), st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")), min_size=2
        ),
        max_size=5,
    )
)
def test_what_is_written_is_read_back(rows: list[dict[str, str]]) -> None:
    """By the standard library's reader of RFC 4180 files."""
    back = read_csv(as_csv(rows, ["a", "b"]))

    assert [{key: value.removeprefix("'") for key, value in row.items()} for row in back] == [
        {key: value.removeprefix("'") for key, value in row.items()} for row in rows
    ]
    assert json.loads("".join(as_json(rows))) == rows


def test_every_request_comes_once_and_the_filters_hold(store: SqlStore, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tables, "BATCH", 7)
    with store.writing() as work:
        for number in range(1, 31):
            contact = Contact(f"Mara {number}", f"m{number}@ellison.example", "+12025550123", "=cmd", "en_US")
            work.requests.add(a_new_request(number, contact=contact, car=CarWords("Silver", "silver", "ABC 1", "")))
    everything = list(request_rows(InboxQuestion(), store))
    found = list(request_rows(InboxQuestion(text="m17@ellison.example"), store))

    assert [row["reference"] for row in everything] == [f"TST-{number:05d}" for number in range(30, 0, -1)]
    assert [row["reference"] for row in found] == ["TST-00017"]
    assert list(request_rows(InboxQuestion(view=View.FINISHED), store)) == []
    assert set(everything[0]) == set(REQUEST_COLUMNS)
    [first, *_] = read_csv(as_csv(everything, REQUEST_COLUMNS))
    assert (first["low"], first["typical"], first["currency"]) == ("1800.00", "2000.00", "USD")
    assert (first["phone"], first["company"]) == ("'+12025550123", "'=cmd")
