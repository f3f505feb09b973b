"""The audit trail, exports and a person's data: who may, what is shown, what is written down, nothing personal in an address."""

import csv
import io
import json
import zipfile
from pathlib import Path

import pytest

from configurator.domain.audit import KINDS, AuditGroup, AuditQuestion, group_of, kinds_of
from configurator.domain.desk import Event, Person
from configurator.domain.review import Actor, Contact
from configurator.services import reviewing
from tests.web.desk_app import Desk, make_desk, press

EMAIL = "mara@ellison.example"
INES = Person(Actor.OWNER, 1, "Ines Tester")


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path)


def rows_of(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))


def test_the_trail_is_the_owners_and_exports_are_the_desks(desk: Desk) -> None:
    may = {
        who: [desk.client(who).get(f"/staff/{page}").status_code for page in ("audit", "audit/trail.csv", "export", "person-data")]
        for who in ("ines", "robin", "tomas")
    }

    assert may == {"ines": [200] * 4, "robin": [403, 403, 200, 403], "tomas": [403] * 4}


def test_the_trail_shows_the_newest_first_and_says_who_what_and_about_which_request(desk: Desk) -> None:
    reference, _ = desk.send()
    press(desk.client("robin"), f"/staff/requests/{reference}", f"/staff/requests/{reference}/take")
    reviewing.add_note(reference, "Call before noon.", INES, desk.wiring.desk())
    text = desk.client("ines").get("/staff/audit").text

    assert text.index("Call before noon.") < text.index("opened it first") < text.index("sent it")
    for said in (reference, "Robin Tester", "wrote a note", "logged in", "Logging in"):
        assert said in text


def test_the_trail_is_narrowed_down_by_person_subject_and_request(desk: Desk) -> None:
    first, _ = desk.send()
    second, _ = desk.send()
    reviewing.add_note(first, "note one", INES, desk.wiring.desk())
    reviewing.add_note(second, "note two", Person(Actor.ADVISOR, 2, "Robin Tester"), desk.wiring.desk())
    ines = desk.client("ines")
    by_ines, of_first, of_access = (
        ines.get(f"/staff/audit?{query}").text for query in ("who=1", f"request={first.lower()}", "about=access")
    )

    assert "note one" in by_ines
    assert "note two" not in by_ines
    assert second not in of_first
    assert "note one" in of_first
    assert "note one" not in of_access
    assert "logged in" in of_access
    assert "Nothing is found like that." in ines.get("/staff/audit?request=nothing").text
    assert ines.get("/staff/audit?who=x&about=y&before=-1").status_code == 200


def test_pages_of_the_trail_hold_every_entry_once(desk: Desk) -> None:
    with desk.wiring.store.writing() as work:
        for number in range(120):
            work.requests.record(
                None, Event(at=desk.clock(), by=INES, kind="site_allowed", facts={"site": f"https://{number:03d}.example"})
            )
    seen: list[int] = []
    before = None
    while True:
        with desk.wiring.store.reading() as work:
            page = work.audit.page(AuditQuestion(group=AuditGroup.OTHER, before=before))
        seen += [row.id for row in page.rows]
        if not page.has_more:
            break
        before = page.rows[-1].id

    assert len(seen) == len(set(seen)) == 120
    assert seen == sorted(seen, reverse=True)
    ines = desk.client("ines")
    first = ines.get("/staff/audit?about=other").text
    assert "Show older" in first
    assert "https://119.example" in first
    assert "Back to the newest" in ines.get(f"/staff/audit?about=other&before={seen[49]}").text


def test_the_trail_as_a_file_is_complete_and_its_taking_is_in_it(desk: Desk) -> None:
    reference, _ = desk.send()
    reviewing.add_note(reference, "=HYPERLINK(1)", INES, desk.wiring.desk())
    answer = desk.client("ines").get("/staff/audit/trail.csv")
    rows = rows_of(answer.text)

    assert answer.headers["Content-Disposition"] == 'attachment; filename="audit-trail.csv"'
    assert rows[0]["kind"] == "audit_exported"
    assert next(row["reason"] for row in rows if row["kind"] == "noted") == "'=HYPERLINK(1)"
    assert rows[-1]["kind"] == "person_added"


def test_every_group_of_the_trail_is_apart_from_the_others() -> None:
    named = [kind for kinds in KINDS.values() for kind in kinds]

    assert len(named) == len(set(named))
    assert set(KINDS) | {AuditGroup.OTHER} == set(AuditGroup)
    assert kinds_of(AuditGroup.OTHER) == (frozenset(named), False)
    assert {group_of(kind) for kind in named} == set(KINDS)
    assert group_of("something_new") is AuditGroup.OTHER


@pytest.mark.parametrize("kind", ["csv", "json"])
def test_requests_are_taken_as_a_file_and_that_is_written_down(desk: Desk, kind: str) -> None:
    reference, token = desk.send(contact=Contact("=Mara", EMAIL, "+12025550123", None, "en_US"))
    withdrawn, its_token = desk.send()
    desk.client().post(f"/r/{its_token}/withdraw")
    robin = desk.client("robin")
    everything, open_ones = (robin.get(f"/staff/export/requests.{kind}?view={view}") for view in ("everything", "open"))
    read = rows_of if kind == "csv" else json.loads
    rows = read(everything.text)

    assert {row["reference"] for row in rows} == {reference, withdrawn}
    assert [row["reference"] for row in read(open_ones.text)] == [reference]
    assert next(row["name"] for row in rows if row["reference"] == reference) == ("'=Mara" if kind == "csv" else "=Mara")
    assert token not in everything.text
    assert everything.headers["Content-Disposition"] == f'attachment; filename="requests.{kind}"'
    assert everything.headers["Cache-Control"] == "no-store"
    assert "took requests as a file" in desk.client("ines").get("/staff/audit").text
    assert robin.get("/staff/export/requests.xls").status_code == 404


def test_the_owner_looks_a_person_up_takes_everything_and_erases_them(desk: Desk) -> None:
    reference, token = desk.send()
    ines, page = desk.client("ines"), "/staff/person-data"
    found = press(ines, page, f"{page}/find", email=EMAIL.upper())
    archive = press(ines, page, f"{page}/export", email=EMAIL)
    wrong = press(ines, page, f"{page}/erase", email=EMAIL, again="mara@elsewhere.example")
    done = press(ines, page, f"{page}/erase", email=EMAIL, again=EMAIL.title())
    again = press(ines, page, f"{page}/find", email=EMAIL)

    assert reference in found.text
    assert f'value="{EMAIL}"' in ines.get(f"{page}?request={reference}").text or "Nothing is kept" in again.text
    assert archive.content_type == "application/zip"
    with zipfile.ZipFile(io.BytesIO(archive.data)) as packed:
        assert json.loads(packed.read("data.json"))["requests"][0]["reference"] == reference
    assert wrong.status_code == 422
    assert "This is not the same address. Nothing was erased." in wrong.text
    assert "Erased." in done.text
    assert "Nothing is kept under this address." in again.text
    assert desk.client().get(f"/r/{token}").status_code == 404
    trail = ines.get("/staff/audit").text
    assert "erased a person: 1 requests, 0 photos" in trail
    assert EMAIL not in trail
    assert "Ellison" not in desk.client("robin").get(f"/staff/requests/{reference}").text


def test_a_car_in_the_bay_is_named_with_what_to_do(desk: Desk) -> None:
    from configurator.domain.review import State

    reference, _ = desk.send()
    with desk.wiring.store.writing() as work:
        request = reviewing.find(reference, work)
        work.requests.move(request, State.IN_BAY, Event(at=desk.clock(), by=INES, kind="moved", target=State.IN_BAY))
    ines, page = desk.client("ines"), "/staff/person-data"
    found = press(ines, page, f"{page}/find", email=EMAIL)
    refused = press(ines, page, f"{page}/erase", email=EMAIL, again=EMAIL)

    for answer in (found, refused):
        assert f"{reference} is in the bay: hand the car over first." in answer.text
    assert refused.status_code == 409
    assert "Erase this person" not in found.text


def test_no_form_puts_a_persons_address_into_a_link(desk: Desk) -> None:
    reference, _ = desk.send()
    text = desk.client("ines").get(f"/staff/person-data?request={reference}").text

    assert f'value="{EMAIL}"' in text
    assert f'value="{EMAIL}"' in desk.client("ines").get("/staff/person-data?customer=1").text
    assert desk.client("ines").get("/staff/person-data?customer=99999999999").status_code == 200
    assert 'method="post"' in text
    assert all(EMAIL not in link for link in text.split('href="')[1:] for link in [link.partition('"')[0]])
