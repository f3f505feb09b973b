"""Least privilege: every page of the staff area says what it needs, and each role gets exactly its own."""

import pytest

from configurator.domain.staff import RIGHTS, Right
from configurator.web.staff.guard import ANY_STAFF, ANYONE
from tests.web.desk_app import PEOPLE, Desk, form_token, make_desk


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    return make_desk(tmp_path_factory.mktemp("rights"))


def staff_rules(desk: Desk) -> list[tuple[str, str, object]]:
    """(method, address with made-up parts, what it needs) of every staff page."""
    rules = []
    for rule in desk.app.url_map.iter_rules():
        if rule.endpoint.startswith("staff."):
            values = {name: 999_999 if "int" in type(rule._converters[name]).__name__.lower() else "PFB-NONE" for name in rule.arguments}
            with desk.app.test_request_context():
                _, path = rule.build(values)  # type: ignore[misc]
            method = "POST" if "POST" in rule.methods else "GET"  # type: ignore[operator]
            rules.append((method, path, getattr(desk.app.view_functions[rule.endpoint], "staff_needs", None)))
    return rules


def test_every_page_says_what_it_needs(desk: Desk) -> None:
    assert [path for _, path, needs in staff_rules(desk) if needs is None] == []


@pytest.mark.parametrize("who", list(PEOPLE))
def test_a_role_opens_its_own_pages_and_no_other(desk: Desk, who: str) -> None:
    client = desk.client(who)
    token = form_token(client.get("/staff/account").text)
    wrong = []
    for method, path, needs in staff_rules(desk):
        if needs in {ANYONE, ANY_STAFF} or path == "/staff/logout":
            continue
        answer = client.open(path, method=method, data={"form_token": token} if method == "POST" else None)
        may = needs in RIGHTS[PEOPLE[who]]
        if (answer.status_code == 403) == may:
            wrong.append((method, path, answer.status_code))

    assert wrong == []


def test_a_stranger_opens_nothing(desk: Desk) -> None:
    client = desk.client()
    answers = {path: client.open(path, method=method).status_code for method, path, needs in staff_rules(desk) if needs != ANYONE}

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
