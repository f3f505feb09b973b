"""Measured lamps and glass: typed by staff, judged by the rules, seen by whoever may read the request.

The figures of the verdicts are those of FMVSS 108 (49 CFR 571.108), Table VIII: a tail lamp's minimum is 2.0 cd at H-V.
"""

from pathlib import Path

import pytest

from configurator.wire.selection import load_selection
from tests.web.desk_app import Desk, make_desk, press

TAIL = "cd.tail_lamps.tail"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


def smoked(desk: Desk, film: str = "smoke_light", **more: object) -> str:
    """A request with smoked tail lamps in the United States."""
    document = {"version": 1, "vehicle": {"body": "sedan"}, "lamps": {"tail_lamps": film, "headlamps": "none"}, "region": "us", **more}
    reference, _ = desk.send(selection=load_selection(document), acknowledged=frozenset({"tail_lamps"}))
    return reference


def page_of(reference: str) -> str:
    return f"/staff/requests/{reference}/light"


def test_a_measured_candela_value_shows_what_is_left_and_who_measured(desk: Desk) -> None:
    reference = smoked(desk, "smoke_medium")
    client = desk.client("robin")

    answer = press(client, page_of(reference), page_of(reference), **{TAIL: "6"})
    text = client.get(page_of(reference)).text

    assert answer.status_code == 303
    assert "2.1 cd" in text  # 6.0 cd x 0.35
    assert "Measured by Robin Tester" in text
    assert 'value="6"' in text
    assert "wrote down what was measured" in client.get(f"/staff/requests/{reference}").text


def test_a_dim_lamp_turns_the_verdict(desk: Desk) -> None:
    reference = smoked(desk)
    client = desk.client("robin")
    before = client.get(page_of(reference)).text

    press(client, page_of(reference), page_of(reference), **{TAIL: "2.5"})
    after = client.get(page_of(reference)).text

    assert "before measuring" not in before
    assert "before measuring" in after


def test_the_page_says_when_a_measured_lamp_needs_an_acknowledgement_that_nobody_gave(desk: Desk) -> None:
    document = {"version": 1, "vehicle": {"body": "sedan"}, "lamps": {"tail_lamps": "clear", "headlamps": "none"}, "region": "us"}
    reference, _ = desk.send(selection=load_selection(document))
    client = desk.client("robin")
    press(client, page_of(reference), page_of(reference), **{TAIL: "2.05"})

    assert "has not confirmed off-road or show use" in client.get(page_of(reference)).text


def test_empty_fields_take_it_back(desk: Desk) -> None:
    reference = smoked(desk)
    client = desk.client("robin")
    press(client, page_of(reference), page_of(reference), **{TAIL: "6"})
    press(client, page_of(reference), page_of(reference), **{TAIL: ""})

    assert "Measured by" not in client.get(page_of(reference)).text
    assert "took back what was measured" in client.get(f"/staff/requests/{reference}").text


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        (TAIL, "bright", "must be a number"),
        (TAIL, "-3", "more than 0"),
        (TAIL, "0", "more than 0"),
        (TAIL, "9000000", "500,000"),
        ("layer.tail_lamps", "140", "100 %"),
        ("cd.tail_lamps.siren", "12", ""),
        ("cd.headlamps.lower_beam", "15000", ""),
        ("glass", "80", ""),
    ],
)
def test_what_can_not_be_is_refused_and_stays_typed(desk: Desk, field: str, typed: str, said: str) -> None:
    reference = smoked(desk)
    client = desk.client("robin")

    answer = press(client, page_of(reference), page_of(reference), **{field: typed})

    assert answer.status_code == 422
    assert "Nothing was kept" in answer.text
    assert said in answer.text
    assert "Measured by" not in client.get(page_of(reference)).text


def test_numbers_are_read_in_the_language_of_the_page(desk: Desk) -> None:
    reference = smoked(desk, "smoke_medium")
    client = desk.client("robin")
    client.get(page_of(reference) + "?lang=de")

    press(client, page_of(reference) + "?lang=de", page_of(reference) + "?lang=de", **{TAIL: "6,0"})

    assert "2.1 cd" in client.get(page_of(reference)).text


def test_a_second_editor_is_noticed(desk: Desk) -> None:
    reference = smoked(desk)
    client = desk.client("robin")
    stale = client.get(page_of(reference)).text
    press(client, f"/staff/requests/{reference}", f"/staff/requests/{reference}/take")
    from tests.web.desk_app import form_token, revision

    answer = client.post(page_of(reference), data={"form_token": form_token(stale), "revision": revision(stale), TAIL: "6"})

    assert answer.status_code == 409


def test_the_bay_does_not_get_the_page(desk: Desk) -> None:
    reference = smoked(desk)
    assert desk.client("tomas").get(page_of(reference)).status_code == 403
