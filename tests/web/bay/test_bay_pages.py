"""The bay's pages: who sees what, forms without script, and pages for what can't be."""

import re

import pytest

from configurator.domain.bay.tasks import TaskState
from configurator.domain.measuring import LampReading, Measurement
from configurator.domain.review import State
from configurator.errors import Fault
from configurator.services.bay.scoped import CannotBeMade
from configurator.wire.selection import load_selection
from tests.bay_builders import bring_in, found, schedule
from tests.web.bay.conftest import CHOICE, CONTACT, Bay
from tests.web.desk_app import form_token, press, revision

TABS = ("parts", "panels", "cut-plan", "seams", "checks", "film", "hand-over", "check-in", "print")
SECRETS = (CONTACT.name, CONTACT.email, "555", "Ellison", "$", "USD", "ABC 123")
"""What an installer has no need of: owner, contact, plate, money."""


def shown(text: str) -> str:
    """What a page says, without its markup and without the shop's own letterhead."""
    return re.sub(r"<[^>]+>", " ", re.sub(r"<header class=\"doc-head\">.*?</header>|<head>.*?</head>", "", text, flags=re.DOTALL))


# --- who sees what


@pytest.mark.parametrize("tab", TABS)
def test_an_installer_sees_no_owner_no_contact_no_money(bay: Bay, working_on: str, tab: str) -> None:
    answer = bay.desk.client("tomas").get(f"/staff/bay/{working_on}/{tab}")

    assert answer.status_code == 200
    assert [secret for secret in SECRETS if secret in shown(answer.text)] == []


def test_todays_page_shows_neither(bay: Bay, working_on: str) -> None:
    for who in ("tomas", "jost"):
        text = bay.desk.client(who).get("/staff/bay?whose=everyone").text
        assert working_on in text
        assert [secret for secret in SECRETS if secret in shown(text)] == []


@pytest.mark.parametrize("tab", [tab for tab in TABS if tab != "parts"])
def test_an_assembler_sees_the_parts_and_nothing_else(bay: Bay, working_on: str, tab: str) -> None:
    client = bay.desk.client("jost")

    assert client.get(f"/staff/bay/{working_on}/{tab}").status_code == 403
    assert client.get(f"/staff/bay/{working_on}/parts").status_code == 200
    assert client.get(f"/staff/bay/{working_on}/parts/print").status_code == 200


def test_an_assembler_has_one_tab(bay: Bay, working_on: str) -> None:
    text = bay.desk.client("jost").get(f"/staff/bay/{working_on}/parts").text

    assert len(re.findall(r"<nav class=\"bay-tabs\".*?</nav>", text, re.DOTALL)[0].split("<a ")) == 2


@pytest.mark.parametrize("who", ["tomas", "jost"])
def test_the_bay_is_their_first_page(bay: Bay, who: str) -> None:
    answer = bay.desk.client(who).get("/staff/")

    assert (answer.status_code, answer.location) == (303, "/staff/bay")


def test_an_assembler_can_finish_parts_but_no_film(bay: Bay) -> None:
    reference, _ = bay.at_work()
    client, page = bay.desk.client("jost"), f"/staff/bay/{reference}/parts"
    part = next(task.key for task in bay.job(reference).tasks if task.is_part)

    assert press(client, page, f"/staff/bay/{reference}/tasks/{part}/done", minutes="12").status_code == 303
    assert press(client, page, f"/staff/bay/{reference}/tasks/film_hood/done").status_code == 403
    assert press(client, page, f"/staff/bay/{reference}/checks/washed").status_code == 403
    assert press(client, page, f"/staff/bay/{reference}/checks/parts_bagged", **{"from": "parts"}).status_code == 303
    assert press(client, page, f"/staff/bay/{reference}/sign/installer").status_code == 403
    assert bay.job(reference).by_key[part].minutes == 12.0


def test_planned_and_real_is_the_owners(bay: Bay, given_back: tuple[str, str]) -> None:
    answers = {who: bay.desk.client(who).get("/staff/results").status_code for who in ("ines", "robin", "tomas", "jost")}

    assert answers == {"ines": 200, "robin": 403, "tomas": 403, "jost": 403}
    assert given_back[0] in bay.desk.client("ines").get("/staff/results").text


# --- check-in without script


def test_check_in_asks_again_for_more_rows_and_keeps_what_was_typed(bay: Bay) -> None:
    reference, _ = bay.scheduled()
    page = f"/staff/bay/{reference}/check-in"
    rows = {"damage_panel_0": "hood", "damage_kind_0": "dent", "damage_note_0": "by the badge", "belongings": "Child seat"}

    text = press(bay.desk.client("tomas"), page, page, more="1", **rows).text

    assert 'name="damage_panel_5"' in text
    assert 'value="by the badge"' in text
    assert "Child seat" in text


def test_a_fault_stands_beside_its_field_and_nothing_is_lost(bay: Bay) -> None:
    reference, _ = bay.scheduled()
    page = f"/staff/bay/{reference}/check-in"

    answer = press(bay.desk.client("tomas"), page, page, odometer="many", key_count="2", signed="Mara", belongings="Child seat")

    assert answer.status_code == 422
    assert 'id="odometer-fault"' in answer.text
    assert re.search(r'id="odometer"[^>]*value="many"[^>]*aria-describedby="odometer-fault"', answer.text)
    assert "Child seat" in answer.text


def test_checking_in_leads_to_the_parts(bay: Bay) -> None:
    reference, _ = bay.scheduled()
    page = f"/staff/bay/{reference}/check-in"
    client = bay.desk.client("tomas")

    answer = press(client, page, page, odometer="12 345", key_count="1", signed="Mara Ellison", damage_panel_0="hood", damage_kind_0="chip")

    assert (answer.status_code, answer.location) == (303, f"/staff/bay/{reference}/parts")
    assert [mark.panel for mark in bay.job(reference).check_in.damage] == ["hood"]
    assert client.get(f"/staff/bay/{reference}").location == f"/staff/bay/{reference}/parts"


def test_whoever_comes_second_keeps_what_they_typed(bay: Bay) -> None:
    reference, _ = bay.scheduled()
    page = f"/staff/bay/{reference}/check-in"
    client = bay.desk.client("wen")
    text = client.get(page).text
    press(bay.desk.client("tomas"), page, page, odometer="1", key_count="1", signed="Mara")
    late = {"form_token": form_token(text), "revision": revision(text)}

    answer = client.post(page, data={**late, "odometer": "1", "key_count": "1", "signed": "Mara", "belongings": "Surf board"})

    assert answer.status_code == 409
    assert "Surf board" in answer.text


def test_a_request_that_has_no_place_is_not_checked_in(bay: Bay) -> None:
    reference, _ = bay.desk.send()

    assert bay.desk.client("tomas").get(f"/staff/bay/{reference}/check-in").status_code == 409
    assert bay.desk.client("tomas").get(f"/staff/bay/{reference}").status_code == 409
    assert bay.desk.client("tomas").get("/staff/bay/PFB-NONE").status_code == 404


# --- what two people do


def test_two_figures_for_one_task_are_put_to_the_person(bay: Bay) -> None:
    reference, _ = bay.at_work()
    page, action = f"/staff/bay/{reference}/panels", f"/staff/bay/{reference}/tasks/film_hood/done"
    press(bay.desk.client("tomas"), page, action, minutes="60")
    wen = bay.desk.client("wen")

    asked = press(wen, page, action, minutes="75")

    assert asked.status_code == 409
    assert "Tomas Tester" in asked.text
    assert re.findall(r'name="minutes" value="(\d+)"', asked.text) == ["75"]
    assert bay.job(reference).by_key["film_hood"].minutes == 60.0
    assert press(wen, page, action, minutes="75", settles="1").status_code == 303
    assert bay.job(reference).by_key["film_hood"].minutes == 75.0


def test_two_clocks_at_once_are_put_to_the_person(bay: Bay) -> None:
    reference, _ = bay.at_work()
    page, task = f"/staff/bay/{reference}/panels", f"/staff/bay/{reference}/tasks/film_hood"
    before = bay.desk.clock.now
    try:
        press(bay.desk.client("tomas"), page, f"{task}/start")
        press(bay.desk.client("wen"), page, f"{task}/start")
        bay.desk.clock.now = before.replace(minute=20)
        asked = press(bay.desk.client("wen"), page, f"{task}/done")
    finally:
        bay.desk.clock.now = before

    assert asked.status_code == 409
    assert sorted(re.findall(r'name="minutes" value="(\d+)"', asked.text)) == ["20", "20", "40"]
    assert bay.job(reference).by_key["film_hood"].state is TaskState.OPEN


def test_leaving_out_without_a_reason_asks_for_it(bay: Bay) -> None:
    reference, _ = bay.at_work()
    page, action = f"/staff/bay/{reference}/panels", f"/staff/bay/{reference}/tasks/film_hood/strike"
    client = bay.desk.client("tomas")

    assert press(client, page, action, reason=" ").status_code == 422
    assert press(client, page, action, reason="paint lifts").status_code == 303
    refused = press(client, page, f"/staff/bay/{reference}/tasks/film_hood/done")
    assert refused.status_code == 409
    assert "paint lifts" in refused.text


def test_minutes_that_are_no_number_are_asked_for_again(bay: Bay, working_on: str) -> None:
    page, action = f"/staff/bay/{working_on}/panels", f"/staff/bay/{working_on}/tasks/film_hood/done"

    answer = press(bay.desk.client("tomas"), page, action, minutes="an hour")

    assert answer.status_code == 422
    assert 'value="an hour"' in answer.text


def test_a_tick_undone_and_what_was_found_stand_on_the_list(bay: Bay) -> None:
    reference, _ = bay.at_work()
    client, page = bay.desk.client("tomas"), f"/staff/bay/{reference}/checks"

    press(client, page, f"{page}/washed")
    assert bay.job(reference).mark("check", "washed") is not None
    press(client, page, f"{page}/washed", undo="1")
    assert bay.job(reference).mark("check", "washed") is None
    assert press(client, page, f"{page}/edges_down", found="1", note="").status_code == 422
    press(client, page, f"{page}/edges_down", found="1", note="dust at the nose")
    assert "dust at the nose" in client.get(page).text


# --- film, cutting, seams


def test_pieces_and_seams_are_ticked_and_unticked(bay: Bay) -> None:
    reference, _ = bay.at_work()
    client, base = bay.desk.client("tomas"), f"/staff/bay/{reference}"
    seam = bay.job(reference).seams[0]

    press(client, f"{base}/cut-plan", f"{base}/cut-plan/piece", piece=seam.first, roll="1")
    press(client, f"{base}/seams", f"{base}/seams/close", seam=seam.key, number="1")
    assert bay.job(reference).mark("piece", seam.first) is not None
    assert bay.job(reference).mark("seam", seam.key) is not None
    press(client, f"{base}/seams", f"{base}/seams/close", seam=seam.key, number="1", undo="1")
    assert bay.job(reference).mark("seam", seam.key) is None


def test_a_sheet_is_a_picture_that_can_do_nothing(bay: Bay, working_on: str) -> None:
    client = bay.desk.client("tomas")
    answer = client.get(f"/staff/bay/{working_on}/cut-plan/1/1.svg")

    assert answer.content_type.startswith("image/svg+xml")
    assert "sandbox" in answer.headers["Content-Security-Policy"]
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    assert client.get(f"/staff/bay/{working_on}/cut-plan/9/1.svg").status_code == 404


def test_a_piece_cut_again_and_a_box_are_listed(bay: Bay) -> None:
    reference, _ = bay.at_work()
    client, base = bay.desk.client("tomas"), f"/staff/bay/{reference}"
    roll = bay.job(reference).rolls[0]

    press(client, f"{base}/cut-plan", f"{base}/cut-plan/again", piece="mirror_left", why="dust", entry="a1")
    answer = press(client, f"{base}/film", f"{base}/film", roll=f"{roll.film}:{roll.roll_width_mm:g}", batch="GC-27", metres="", entry="b1")
    assert answer.status_code == 422
    assert 'value="GC-27"' in answer.text
    press(client, f"{base}/film", f"{base}/film", roll=f"{roll.film}:{roll.roll_width_mm:g}", batch="GC-27", metres="2.4", entry="b1")

    text = client.get(f"{base}/film").text
    assert "GC-27" in text
    assert "2.4 m" in text
    assert [one.piece for one in bay.job(reference).remakes] == ["mirror_left"]


# --- hand-over, paper, record


def test_what_is_missing_is_listed_with_the_way_to_it(bay: Bay, working_on: str) -> None:
    page = f"/staff/bay/{working_on}/hand-over"

    answer = press(bay.desk.client("tomas"), page, page, received_by="Mara Ellison")

    assert answer.status_code == 409
    assert f"/staff/bay/{working_on}/panels?zone=hood#film_hood" in answer.text
    assert f"/staff/bay/{working_on}/checks#washed" in answer.text


def test_a_finished_car_goes_and_its_order_is_closed(bay: Bay) -> None:
    reference, token = bay.finished()
    client, page = bay.desk.client("tomas"), f"/staff/bay/{reference}/hand-over"
    assert press(client, page, page, received_by=" ").status_code == 422

    assert press(client, page, page, received_by="Mara Ellison").status_code == 303

    with bay.office.store.reading() as work:
        assert found(reference, work).state is State.HANDED_OVER
    assert press(client, "/staff/bay", f"/staff/bay/{reference}/tasks/film_hood/reopen").status_code == 409
    assert "/record" in client.get(f"/r/{token}").text


def test_a_form_that_is_too_old_hands_nothing_over(bay: Bay) -> None:
    reference, _ = bay.finished()
    client, page = bay.desk.client("tomas"), f"/staff/bay/{reference}/hand-over"
    text = client.get(page).text

    answer = client.post(page, data={"form_token": form_token(text), "revision": "1", "received_by": "Mara"})

    assert answer.status_code == 409
    with bay.office.store.reading() as work:
        assert found(reference, work).state is State.IN_BAY


@pytest.mark.parametrize("paper", ["work-order.pdf", "parts.pdf"])
def test_the_order_is_also_a_pdf(bay: Bay, working_on: str, paper: str) -> None:
    answer = bay.desk.client("tomas").get(f"/staff/bay/{working_on}/{paper}")

    assert answer.status_code in {200, 503}
    if answer.status_code == 200:
        assert answer.data.startswith(b"%PDF-")


def test_the_printed_order_has_boxes_bags_and_room_to_write(bay: Bay, working_on: str) -> None:
    text = bay.desk.client("tomas").get(f"/staff/bay/{working_on}/print").text
    off = [task for task in bay.job(working_on).tasks if task.key.startswith("off_")]

    assert text.index("doc-stop") < text.index('id="parts"')
    assert text.count('class="doc-tick"') >= 2 * len(off) + len(bay.job(working_on).seams)
    assert text.count("doc-sign") >= 3
    assert "Off-road or show use acknowledged" in text


def test_the_record_is_there_once_the_car_is_back_and_not_before(bay: Bay, given_back: tuple[str, str]) -> None:
    reference, token = given_back
    client = bay.desk.client()
    _, other = bay.at_work()

    page = client.get(f"/r/{token}/record")
    assert page.status_code == 200
    assert "LOT-gloss-clear" in page.text
    assert client.get(f"/r/{other}/record").status_code == 404
    assert client.get(f"/r/{'x' * 24}/record").status_code == 404
    assert client.get(f"/r/{token}/record/print").status_code == 200
    assert client.get(f"/r/{token}/record.pdf").status_code in {200, 503}
    assert page.headers["X-Robots-Tag"] == "noindex, nofollow"
    assert bay.desk.client("robin").get(f"/staff/requests/{reference}/record").status_code == 200
    assert bay.desk.client("tomas").get(f"/staff/requests/{reference}/record").status_code == 403


def test_a_visitor_asks_for_a_panel_again_and_lands_on_the_new_page(bay: Bay, given_back: tuple[str, str]) -> None:
    _, token = given_back
    client, page = bay.desk.client(), f"/r/{token}/record/follow-up"
    entry = re.search(r'name="entry" value="([^"]+)"', client.get(f"{page}?panel=hood").text)
    assert entry

    form = {"panel": "hood", "kind": "claim", "entry": entry[1]}
    assert client.post(page, data={**form, "notes": ""}).status_code == 422
    sent = client.post(page, data={**form, "notes": "A corner lifts."})
    again = client.post(page, data={**form, "notes": "A corner lifts."})

    assert sent.status_code == 303
    assert sent.location.startswith("/r/")
    assert token not in sent.location
    assert again.location == sent.location
    assert "A corner lifts." in client.get(sent.location).text


def test_the_desk_does_the_same_for_a_caller_and_sees_where_it_came_from(bay: Bay, given_back: tuple[str, str]) -> None:
    reference, _ = given_back
    client, page = bay.desk.client("robin"), f"/staff/requests/{reference}/record"

    answer = press(client, page, f"{page}/follow-up", panel="tail_lamp_left", kind="replace", notes="Cracked lens.", entry="desk-1")

    assert answer.status_code == 303
    text = client.get(answer.location).text
    assert f"/staff/requests/{reference}/record" in text
    assert "LOT-lamp-smoke-medium" in text


def test_the_order_list_names_film_and_parts(bay: Bay) -> None:
    reference, _ = bay.scheduled()
    text = bay.desk.client("tomas").get("/staff/bay/to-order").text

    assert reference in text
    assert [secret for secret in SECRETS if secret in shown(text)] == []


def test_a_price_book_that_lost_a_film_is_said_plainly(bay: Bay, working_on: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def lost(*_: object) -> None:
        raise CannotBeMade((Fault("finish.default", "unknown_finish", {"finish": "sunset"}),))

    monkeypatch.setattr("configurator.web.staff.bay.panels.scoped_car", lost)

    answer = bay.desk.client("tomas").get(f"/staff/bay/{working_on}/panels")

    assert answer.status_code == 409
    assert "sunset" in answer.text


def test_cautions_in_the_bay_go_by_what_was_measured_on_the_car(bay: Bay) -> None:
    """Clear film, 0.92, on a tail lamp measured at 2.05 cd keeps 1.89 cd of the 2.0 cd of FMVSS 108, Table VIII."""
    selection = load_selection({**CHOICE, "lamps": {"tail_lamps": "clear", "headlamps": "none"}})
    reference, _ = bay.desk.send(selection=selection, contact=CONTACT)
    schedule(bay.desk.wiring, reference)
    bring_in(reference, bay.office, bay.people["robin"])
    tomas = bay.desk.client("tomas")
    checks = f"/staff/bay/{reference}/checks"
    before = tomas.get(checks).text
    with bay.office.store.writing() as work:
        dim = Measurement((LampReading("tail_lamps", "tail", 2.05),))
        work.measurements.keep(found(reference, work).id, dim, bay.people["robin"], bay.desk.clock())

    assert "likely not road-legal" not in before
    assert "likely not road-legal" in tomas.get(checks).text
