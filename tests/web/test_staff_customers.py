"""The pages of customers and cars: found, corrected with history, compared and made one."""

import re
from pathlib import Path

import pytest

from configurator.domain.review import CarWords, Contact
from tests.web.desk_app import Desk, form_token, make_desk, press, revision

PAGE, CAR = "/staff/customers/1", "/staff/vehicles/1"
FIELDS = {"name": "Mara Ellison", "email": "mara@ellison.example", "phone": "", "company": "", "tax_number": "", "language": "en_US"}
CAR_FIELDS = {"description": "Silver sedan", "colour": "silver", "plate": "ABC 123", "odometer": "", "body": "sedan"}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    made = make_desk(tmp_path)
    made.send()
    return made


def test_a_search_leads_to_the_customer_the_car_and_the_request(desk: Desk) -> None:
    reference, _ = desk.send(car=CarWords("Blue van", "blue", "VAN 900", ""))
    client = desk.client("robin")
    listed = client.get("/staff/customers", query_string={"q": "van900"}).text
    page = client.get(PAGE).text

    assert 'href="/staff/customers/1"' in listed
    assert all(text in page for text in ("Mara Ellison", "mara@ellison.example", "Blue van", "ABC 123", reference))
    assert "Blue van" in client.get("/staff/vehicles/2").text
    assert 'href="/staff/customers/1"' in client.get(f"/staff/requests/{reference}").text


def test_a_company_with_its_tax_number_is_kept_with_history(desk: Desk) -> None:
    client = desk.client("robin")
    answer = press(client, PAGE, PAGE, **{**FIELDS, "company": "Ellison & Daughters", "tax_number": "US-99/1", "language": "de"})
    text = client.get(PAGE).text

    assert answer.status_code == 303
    assert "Ellison &amp; Daughters" in text
    assert "<del>–</del> → <ins>US-99/1</ins>" in text
    assert "<ins>Deutsch</ins>" in text
    assert "Robin Tester</b> changed the customer" in text


def test_saving_what_stands_there_changes_nothing(desk: Desk) -> None:
    client = desk.client("robin")
    press(client, PAGE, PAGE, **{**FIELDS, "phone": "+1 202-555-0123"})

    assert "Nothing was changed yet." in client.get(PAGE).text


@pytest.mark.parametrize(
    ("field", "value"),
    [("name", " "), ("email", "nobody"), ("phone", "12"), ("language", "xx"), ("tax_number", "9" * 41), ("name", "a\x00b")],
)
def test_what_can_not_be_is_said_beside_its_field_and_kept(desk: Desk, field: str, value: str) -> None:
    refused = press(desk.client("robin"), PAGE, PAGE, **{**FIELDS, "company": "Kept As Typed", field: value})

    assert refused.status_code == 422
    assert f'id="{field}-fault"' in refused.text
    assert 'value="Kept As Typed"' in refused.text


def test_the_slower_of_two_is_told_and_keeps_what_was_typed(desk: Desk) -> None:
    robin, ines = desk.client("robin"), desk.client("ines")
    seen = ines.get(PAGE).text
    press(robin, PAGE, PAGE, **{**FIELDS, "company": "Robins"})
    token, number = form_token(seen), revision(seen)
    slow = ines.post(PAGE, data={**FIELDS, "company": "Iness", "form_token": token, "revision": number})

    assert slow.status_code == 409
    assert 'value="Iness"' in slow.text
    assert "<ins>Robins</ins>" in slow.text
    again = ines.post(PAGE, data={**FIELDS, "company": "Iness", "form_token": token, "revision": revision(slow.text)})
    assert again.status_code == 303, "the page that told it can be sent as it is"


@pytest.mark.parametrize(("typed", "kept"), [("12,345", "12,345"), ("12 345", "12,345"), ("12.345", "12,345"), ("0", "0")])
def test_an_odometer_is_taken_as_people_write_it(desk: Desk, typed: str, kept: str) -> None:
    client = desk.client("robin")
    assert press(client, CAR, CAR, **{**CAR_FIELDS, "odometer": typed}).status_code == 303

    assert f"odometer {kept}" in client.get(PAGE).text


@pytest.mark.parametrize(
    ("field", "value"), [("odometer", "many"), ("odometer", "-5"), ("odometer", "9" * 12), ("body", "boat"), ("plate", "9" * 21)]
)
def test_a_cars_field_is_asked_for_again(desk: Desk, field: str, value: str) -> None:
    refused = press(desk.client("robin"), CAR, CAR, **{**CAR_FIELDS, field: value})

    assert refused.status_code == 422
    assert f'id="{field}-fault"' in refused.text


def test_two_of_the_same_are_compared_and_made_one(desk: Desk) -> None:
    second, _ = desk.send(
        contact=Contact("M. Ellison", "m@work.example", "+12025550123", "Ellison Ltd"), car=CarWords("Blue van", "", "VAN 9", "")
    )
    client = desk.client("robin")
    page = client.get(PAGE).text
    assert "Perhaps the same:" in page
    (address,) = set(re.findall(r"/staff/customers/1/merge/2", page))
    text = client.get(address).text
    kept, gone = re.findall(r'name="(?:kept|gone)" value="(\d+)"', text)[:2]
    answer = client.post(address, data={"form_token": form_token(text), "kept": kept, "gone": gone})
    after = client.get(PAGE).text

    assert answer.status_code == 303
    assert all(text in after for text in (second, "Blue van", "made one of two customers", "Ellison Ltd"))
    assert "Perhaps the same:" not in after
    assert client.get("/staff/customers/2").location.endswith(PAGE)
    assert client.get(f"/staff/requests/{second}").status_code == 200
    assert client.post(address, data={"form_token": form_token(text), "kept": kept, "gone": gone}).status_code == 404


def test_a_merge_of_what_was_changed_meanwhile_is_refused(desk: Desk) -> None:
    desk.send(contact=Contact("M. Ellison", "m@work.example", "+12025550123"))
    client = desk.client("robin")
    text = client.get(f"{PAGE}/merge/2").text
    press(client, PAGE, PAGE, **{**FIELDS, "company": "New"})
    refused = client.post(f"{PAGE}/merge/2", data={"form_token": form_token(text), "kept": "1", "gone": "1"})

    assert refused.status_code == 409
    assert client.get("/staff/customers/2").status_code == 200


@pytest.mark.parametrize(
    "address", ["/staff/customers/999", "/staff/vehicles/999", f"{PAGE}/merge/1", f"{PAGE}/merge/999", "/staff/customers/0"]
)
def test_who_is_not_there_is_not_found(desk: Desk, address: str) -> None:
    assert desk.client("robin").get(address).status_code == 404


@pytest.mark.parametrize("query", ["q=%00", "q=" + "%F0%9F%98%80" * 60, "before=x", "before=99999999999999999999", "before=-1", "q=%25"])
def test_a_strange_address_shows_a_list(desk: Desk, query: str) -> None:
    assert desk.client("robin").get(f"/staff/customers?{query}").status_code == 200


def test_what_was_handed_over_leads_to_its_coverage_record(desk: Desk) -> None:
    reference, _ = desk.send()
    client = desk.client("robin")
    assert "/record" not in client.get(CAR).text
    with desk.wiring.store.writing() as work:
        kept = work.requests.by_reference(reference)
        assert kept is not None
        work.requests.change(kept, {"state": "handed_over"})

    assert f"/staff/requests/{reference}/record" in client.get(CAR).text
