"""Least privilege: every page of the staff area says what it needs, and each role gets exactly its own."""

import pytest

from configurator.domain.staff import RIGHTS, Right
from configurator.web.staff.guard import ANYONE, TABLET
from tests.web.desk_app import PEOPLE, Desk, form_token, make_desk, press


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    return make_desk(tmp_path_factory.mktemp("rights"))


def staff_rules(desk: Desk) -> list[tuple[str, str, object]]:
    """(method, address with made-up parts, what it needs) of every staff page."""
    rules = []
    for rule in desk.app.url_map.iter_rules():
        if rule.rule.startswith("/staff/"):
            values = {name: 999_999 if "int" in type(rule._converters[name]).__name__.lower() else "PFB-NONE" for name in rule.arguments}
            with desk.app.test_request_context():
                _, path = rule.build(values)  # type: ignore[misc]
            method = "POST" if "POST" in rule.methods else "GET"  # type: ignore[operator]
            rules.append((method, path, getattr(desk.app.view_functions[rule.endpoint], "staff_needs", None)))
    return rules


def test_every_page_says_what_it_needs(desk: Desk) -> None:
    assert [path for _, path, needs in staff_rules(desk) if needs is None] == []


DESK, BAY, OWNER = {"ines", "robin"}, {"ines", "robin", "tomas"}, {"ines"}
WHO_OPENS: dict[str, dict[str, set[str]]] = {
    "": {"anyone": set()},
    "account": {"any_staff": set(PEOPLE)},
    "audit": {"audit": OWNER},
    "bay": {"bay": BAY, "bay_parts": set(PEOPLE)},
    "calendar": {"plan": DESK},
    "calibration": {"price_book": OWNER},
    "configure": {"work_requests": DESK},
    "customers": {"read_requests": DESK, "work_requests": DESK},
    "devices": {"people": OWNER},
    "export": {"export": DESK},
    "figures": {"price_book": OWNER},
    "here": {"anyone": set()},
    "inbox": {"read_requests": DESK},
    "keys": {"any_staff": set(PEOPLE)},
    "login": {"anyone": set()},
    "logout": {"any_staff": set(PEOPLE)},
    "mail": {"see_mail": DESK},
    "password": {"anyone": set()},
    "people": {"people": OWNER},
    "person-data": {"data_rights": OWNER},
    "price-book": {"price_book": OWNER},
    "requests": {"read_requests": DESK, "work_requests": DESK, "see_money": DESK, "plan": DESK, "export": DESK},
    "reset": {"anyone": set()},
    "results": {"price_book": OWNER},
    "site": {"sites": OWNER},
    "tablet": {"tablet": set()},
    "vehicles": {"read_requests": DESK, "work_requests": DESK},
}
"""The first part of an address -> what pages there may need -> who of PEOPLE has that at the desk. An address that isn't here fails,
so that nobody adds one without deciding whose it is."""
ON_TABLET = {"ines": {"bay", "bay_parts"}, "robin": {"bay", "bay_parts"}, "tomas": {"bay", "bay_parts"}, "jost": {"bay_parts"}}
"""On a shared tablet: the bay and nothing else, whoever holds it (product: bay pages only)."""
REFUSES_MORE = {("POST", f"/staff/bay/PFB-NONE/{part}/PFB-NONE", 403) for part in ("checks", "sign")}
"""Pages that ask for more than their right: an assembler ticks and signs what is about parts, and nothing else."""


def section(path: str) -> str:
    return path.removeprefix("/staff/").partition("/")[0]


def test_every_address_stands_in_the_table(desk: Desk) -> None:
    unknown = {(path, str(needs)) for _, path, needs in staff_rules(desk) if str(needs) not in WHO_OPENS.get(section(path), {})}

    assert unknown == set(), "decide whose these are and say so in WHO_OPENS"


@pytest.mark.parametrize("who", list(PEOPLE))
def test_a_role_opens_its_own_pages_and_no_other(desk: Desk, who: str) -> None:
    client = desk.client(who)
    token = form_token(client.get("/staff/account").text)
    wrong = []
    for method, path, needs in staff_rules(desk):
        if needs == ANYONE or path == "/staff/logout" or section(path) not in WHO_OPENS:
            continue
        answer = client.open(path, method=method, data={"form_token": token} if method == "POST" else None)
        if (answer.status_code == 403) == (who in WHO_OPENS[section(path)][str(needs)]):
            wrong.append((method, path, answer.status_code))

    assert set(wrong) <= REFUSES_MORE


@pytest.mark.parametrize("who", [None, *PEOPLE])
def test_a_tablet_opens_the_bay_and_nothing_else(desk: Desk, who: str | None) -> None:
    client = desk.client("ines")
    press(client, "/staff/devices", "/staff/devices", label="Bay 1")
    token = form_token(client.get("/staff/tablet").text)
    with desk.wiring.store.writing() as work:
        device = work.sessions.open_devices(desk.clock.now)[0]
        person = work.users.credentials(f"{who}@film.example") if who else None
        work.sessions.set_user(device.id, person.user.id if person else None)
    wrong = []
    for method, path, needs in staff_rules(desk):
        if needs in {ANYONE, TABLET}:
            continue
        answer = client.open(path, method=method, data={"form_token": token} if method == "POST" else None)
        if who is None:
            right = answer.status_code == (303 if str(needs) in {"bay", "bay_parts"} else 403)
        else:
            right = (answer.status_code == 403) != (str(needs) in ON_TABLET[who])
        if not right:
            wrong.append((method, path, answer.status_code))

    assert set(wrong) <= REFUSES_MORE


@pytest.mark.parametrize("who", list(PEOPLE))
def test_a_desk_session_is_no_tablet(desk: Desk, who: str) -> None:
    assert desk.client(who).get("/staff/tablet").status_code == 403


def test_a_stranger_opens_nothing(desk: Desk) -> None:
    client = desk.client()
    answers = {(method, path): client.open(path, method=method).status_code for method, path, needs in staff_rules(desk) if needs != ANYONE}

    assert set(answers.values()) <= {303, 403}, answers


def test_an_assembler_sees_neither_price_nor_name(desk: Desk) -> None:
    """Product: parts-off lists only."""
    desk.send()
    text = desk.client("jost").get("/staff/", follow_redirects=True).text

    assert "Ellison" not in text
    assert "$" not in text


def test_the_rail_shows_only_what_may_be_opened(desk: Desk) -> None:
    advisor, installer = (desk.client(who).get("/staff/account").text for who in ("robin", "tomas"))

    assert 'href="/staff/inbox"' in advisor
    assert 'href="/staff/inbox"' not in installer


def test_the_owner_may_do_everything() -> None:
    assert RIGHTS[PEOPLE["ines"]] == frozenset(Right)
