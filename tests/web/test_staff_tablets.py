"""Shared tablets in the bay: who opens one, who may hold it, what it opens, when it lets go."""

import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from configurator.domain.staff import SessionKind
from configurator.services.access import device_sessions
from tests.web.desk_app import PASSWORD, Desk, form_token, later, make_desk, press
from tests.web.test_staff_people import id_of

PIN = "2749"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    made = make_desk(tmp_path)
    for name in ("ines", "robin", "tomas", "jost"):
        give_pin(made, name, PIN if name == "tomas" else "8305")
    return made


def give_pin(desk: Desk, name: str, pin: str) -> None:
    page = f"/staff/people/{id_of(desk, name)}"
    assert press(desk.client("ines"), page, f"{page}/pin", pin=pin).status_code == 303


def a_tablet(desk: Desk, label: str = "Bay 1") -> FlaskClient:
    """A browser that an owner has made a tablet."""
    client = desk.client("ines")
    assert press(client, "/staff/devices", "/staff/devices", label=label).status_code == 303
    return client


def pick_up(desk: Desk, tablet: FlaskClient, name: str, pin: str) -> int:
    token = form_token(tablet.get("/staff/tablet", follow_redirects=True).text)
    return tablet.post("/staff/tablet", data={"form_token": token, "who": str(id_of(desk, name)), "pin": pin}).status_code


def holder(desk: Desk) -> str | None:
    with desk.wiring.store.reading() as work:
        (device,) = work.sessions.open_devices(desk.clock.now)
    return device.user.name if device.user else None


def test_an_owner_makes_a_tablet_and_is_logged_out_on_it(desk: Desk) -> None:
    tablet = a_tablet(desk)

    assert tablet.get("/staff/people").status_code == 403
    assert tablet.get("/staff/").location.endswith("/staff/tablet")
    assert "Bay 1" in desk.client("ines").get("/staff/devices").text


@pytest.mark.parametrize("who", ["robin", "tomas", "jost"])
def test_nobody_else_makes_one(desk: Desk, who: str) -> None:
    client = desk.client(who)
    token = form_token(client.get("/staff/account").text)

    assert client.post("/staff/devices", data={"form_token": token, "label": "x"}).status_code == 403


def test_the_right_pin_picks_it_up(desk: Desk) -> None:
    tablet = a_tablet(desk)

    assert pick_up(desk, tablet, "tomas", PIN) == 303
    assert holder(desk) == "Tomas Tester"


@pytest.mark.parametrize(("name", "pin"), [("tomas", "8305"), ("tomas", ""), ("jost", PIN), ("nobody", PIN), ("wen", ""), ("wen", "8305")])
def test_whatever_is_wrong_is_told_the_same(desk: Desk, name: str, pin: str) -> None:
    """A wrong PIN, a wrong name, nobody, somebody without a PIN: one answer."""
    press(desk.client("ines"), "/staff/people", "/staff/people", name="Wen Adair", email="wen@film.example", role="installer")
    tablet = a_tablet(desk)
    who = "999999" if name == "nobody" else str(id_of(desk, name))
    token = form_token(tablet.get("/staff/tablet", follow_redirects=True).text)
    refused = tablet.post("/staff/tablet", data={"form_token": token, "who": who, "pin": pin})

    assert refused.status_code == 403
    assert "Check the name and the PIN." in refused.text
    assert holder(desk) is None


def test_five_wrong_pins_rest_and_hold_nobody_else_up(desk: Desk) -> None:
    tablet = a_tablet(desk)
    assert [pick_up(desk, tablet, "tomas", "1357") for _ in range(5)] == [403] * 5
    assert pick_up(desk, tablet, "tomas", PIN) == 403
    assert pick_up(desk, tablet, "jost", "8305") == 303
    tablet.post("/staff/tablet/back", data={"form_token": form_token(tablet.get("/staff/tablet", follow_redirects=True).text)})

    later(desk, seconds=61)
    assert pick_up(desk, tablet, "tomas", PIN) == 303


def test_a_pin_opens_no_desk_page_even_in_the_owners_hands(desk: Desk) -> None:
    tablet = a_tablet(desk)
    assert pick_up(desk, tablet, "ines", "8305") == 303

    for page in ("/staff/people", "/staff/inbox", "/staff/account", "/staff/mail", "/staff/devices", "/staff/keys"):
        assert tablet.get(page).status_code == 403, page


def test_it_hands_itself_back_when_it_lies_idle(desk: Desk) -> None:
    tablet = a_tablet(desk)
    pick_up(desk, tablet, "tomas", PIN)
    for _ in range(4):
        later(desk, minutes=14)
        assert tablet.get("/staff/here").status_code == 204, "in use it stays in the same hands"
    later(desk, minutes=15)

    assert tablet.get("/staff/here").status_code == 401
    assert holder(desk) is None
    later(desk, days=20)
    assert tablet.get("/staff/tablet").status_code == 200, "the tablet itself stays one"
    later(desk, days=90)
    assert tablet.get("/staff/tablet").status_code == 303


def test_it_can_be_handed_back(desk: Desk) -> None:
    tablet = a_tablet(desk)
    pick_up(desk, tablet, "tomas", PIN)
    tablet.post("/staff/tablet/back", data={"form_token": form_token(tablet.get("/staff/tablet", follow_redirects=True).text)})

    assert holder(desk) is None


def test_the_owner_ends_it_from_the_desk(desk: Desk) -> None:
    tablet, owner = a_tablet(desk), desk.client("ines")
    pick_up(desk, tablet, "tomas", PIN)
    (action,) = re.findall(r"/staff/devices/\d+/end", owner.get("/staff/devices").text)
    press(owner, "/staff/devices", action)

    assert tablet.get("/staff/tablet").status_code == 303
    assert "No tablet is open." in owner.get("/staff/devices").text


def test_ending_a_device_ends_no_desk_session(desk: Desk) -> None:
    owner, robin = desk.client("ines"), desk.client("robin")
    token = form_token(owner.get("/staff/people").text)
    for number in range(1, 30):
        owner.post(f"/staff/devices/{number}/end", data={"form_token": token})

    assert robin.get("/staff/inbox").status_code == 200


@pytest.mark.parametrize("action", ["shut-out", "pin/clear", "log-out"])
def test_what_the_owner_takes_away_takes_the_tablet_out_of_the_hands(desk: Desk, action: str) -> None:
    tablet, owner = a_tablet(desk), desk.client("ines")
    pick_up(desk, tablet, "tomas", PIN)
    page = f"/staff/people/{id_of(desk, 'tomas')}"
    press(owner, page, f"{page}/{action}")

    assert holder(desk) is None
    assert tablet.get("/staff/tablet").status_code == 200


@pytest.mark.parametrize("pin", ["1234", "4321", "0000", "123", "123456789", "12a4", "١٢٣٤", "", "7777777"])
def test_a_pin_is_some_digits_that_nobody_guesses_first(desk: Desk, pin: str) -> None:
    page = f"/staff/people/{id_of(desk, 'tomas')}"
    refused = press(desk.client("ines"), page, f"{page}/pin", pin=pin)

    assert refused.status_code == 422
    assert 'id="pin-fault"' in refused.text


def test_ones_own_pin_needs_ones_own_password(desk: Desk) -> None:
    tomas = desk.client("tomas")
    assert press(tomas, "/staff/account", "/staff/account/pin", pin="5093", pin_password="not it").status_code == 422
    assert press(tomas, "/staff/account", "/staff/account/pin", pin="5093", pin_password=PASSWORD).status_code == 303

    assert pick_up(desk, a_tablet(desk), "tomas", "5093") == 303


def test_the_database_alone_tells_no_pin(desk: Desk) -> None:
    """The hash is over the PIN under the server's key: without that key the right PIN doesn't fit it either."""
    from configurator.services.access.passwords import is_right

    with desk.wiring.store.reading() as work:
        credentials = work.users.credentials("tomas@film.example")

    assert credentials is not None
    assert not is_right(PIN, credentials.pin_hash)


def test_a_tablets_user_has_the_rights_of_the_bay_alone(desk: Desk) -> None:
    tablet = a_tablet(desk)
    pick_up(desk, tablet, "ines", "8305")
    with desk.wiring.store.reading() as work:
        (device,) = work.sessions.open_devices(desk.clock.now)

    assert device.kind is SessionKind.DEVICE
    assert device.user is not None
    assert device.user.on_tablet
    assert device_sessions.HANDS_IDLE.total_seconds() == 900
