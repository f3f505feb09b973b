"""A car through the bay in a real browser: check-in, tasks, film, checks, hand-over, and the record on the private page.

Every page on the way is asked by axe-core (WCAG 2.2 A and AA rules, best practices); targets are measured against the bay's own 44
pixels and more (2.5.8 asks for 24).
"""

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from configurator.domain.desk import Person
from configurator.domain.review import Actor, CarWords, Contact
from configurator.services.access.people import add_person
from configurator.services.bay import working
from configurator.services.bay.office import Office
from configurator.wire.selection import load_selection
from tests.bay_builders import found, schedule
from tests.browser.conftest import Visit, wait_until
from tests.browser.serving import served
from tests.browser.test_accessibility import violations
from tests.web.desk_app import PASSWORD, Desk, make_desk

pytestmark = pytest.mark.browser

CHOICE = {
    "version": 1,
    "vehicle": {"body": "coupe"},
    "coverage": {"package": "none", "add": ["hood", "mirror_left"]},
    "edges": "trimmed",
    "lamps": {"headlamps": "none", "fog_lamps": "none", "tail_lamps": "none"},
}
EXPECTED = ("status of 409", "status of 422")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    desk = make_desk(tmp_path_factory.mktemp("bay"))
    store = desk.wiring.store
    add_person(email="wen@film.example", name="Wen Tester", role=Actor.INSTALLER, password=PASSWORD, store=store, now=desk.clock())
    return desk


@pytest.fixture(scope="module")
def base(shop: Desk) -> Iterator[str]:
    """Where this shop is."""
    with served(shop.app) as origin:
        yield origin


def expected_car(shop: Desk, **changes: Any) -> tuple[str, str]:
    """A car that has its place; its reference and private token."""
    contact = Contact("Mara Ellison", "mara@ellison.example", None, None, "en_US")
    selection = load_selection({**CHOICE, **changes})
    sent = shop.send(selection=selection, contact=contact, car=CarWords("Silver coupe", "silver", "ABC 123", ""))
    schedule(shop.wiring, sent[0])
    return sent


def forgive(*visits: Visit) -> None:
    """Answers that a test asked for, and files that a page left behind when its next page was opened, are no complaint."""
    for here in visits:
        here.complaints[:] = [
            each for each in here.complaints if not (any(status in each for status in EXPECTED) or re.match(r"failed: .*/static/", each))
        ]


def enter(here: Visit, who: str) -> Page:
    page = here.open("/staff/login")
    page.locator("[name=email]").fill(f"{who}@film.example")
    page.locator("[name=password]").fill(PASSWORD)
    page.locator("form button").first.click()
    page.wait_for_url("**/staff/**")
    return page


def looked_at(page: Page) -> None:
    """Axe has nothing to say (where it can run), nothing scrolls sideways, and what is pressed is large enough for gloves."""
    if page.locator("html.has-script").count():
        assert violations(page) == []
    sideways = page.locator("html").evaluate("element => element.scrollWidth - element.clientWidth")
    assert sideways == 0
    small = page.locator(".bay-main .dk-button:visible, .bay-tabs a, .bay-main summary:visible").evaluate_all(
        "all => all.map(one => one.getBoundingClientRect()).filter(box => box.height < 43.5).map(box => box.height)"
    )
    assert small == []


def check_in(page: Page, base: str, reference: str, *, script: bool) -> None:
    page.goto(f"{base}/staff/bay/{reference}/check-in")
    looked_at(page)
    if script:
        page.locator("[data-marks] .view-left [data-panel=door_front_left] .hit").click(force=True)
        assert page.locator("#damage_panel_0").input_value() == "door_front_left"
    else:
        page.locator("#damage_panel_0").select_option("door_front_left")
    page.locator("#damage_note_0").fill("a scratch")
    page.locator("#reading_hood").fill("118 121")
    page.locator("#odometer").fill("12,345")
    page.locator("#key_count").fill("2")
    page.locator("#signed").fill("Mara Ellison")
    page.get_by_role("button", name="Check in").click()
    page.wait_for_url("**/parts")


@pytest.mark.parametrize(("width", "script"), [(820, True), (390, False)], ids=["tablet", "phone without script"])
def test_a_car_from_its_keys_to_its_record(visit: Callable[..., Visit], shop: Desk, base: str, width: int, script: bool) -> None:
    reference, token = expected_car(shop)
    here = visit(width, script=script)
    page = enter(here, "tomas")
    page.wait_for_url("**/staff/bay")
    expect(page.get_by_role("heading", name=re.compile(reference))).to_be_visible()
    looked_at(page)

    check_in(page, base, reference, script=script)
    looked_at(page)

    page.get_by_role("link", name="Panels").click()
    page.wait_for_url("**/panels")
    page.get_by_role("button", name="Start: Wash and decontaminate").click()
    expect(page.get_by_text("clock runs: Tomas Tester").first).to_be_visible()
    looked_at(page)
    page.get_by_role("button", name="Done: Wash and decontaminate").click()
    expect(page.get_by_role("button", name="Done: Wash and decontaminate")).to_have_count(0)
    finish_panels(page, base, reference, shop)

    page.goto(f"{base}/staff/bay/{reference}/cut-plan")
    expect(page.locator(".bay-sheets img").first).to_be_visible()
    looked_at(page)
    page.get_by_role("button", name="Cut: Hood").click()
    expect(page.get_by_role("button", name="Undo: Hood")).to_be_visible()

    page.goto(f"{base}/staff/bay/{reference}/seams")
    looked_at(page)

    page.goto(f"{base}/staff/bay/{reference}/film")
    page.locator("#batch").fill("GC-27-0087")
    page.locator("#metres").fill("3.2")
    page.get_by_role("button", name="Save the box").click()
    expect(page.get_by_text("GC-27-0087")).to_be_visible()
    looked_at(page)

    tick_all(page, base, reference)
    looked_at(page)
    signing = page.get_by_role("button", name="Installer: Sign as Tomas Tester")
    signing.click()
    expect(signing).to_have_count(0)
    expect(page.get_by_text("You laid film on this car")).to_be_visible()

    page.goto(f"{base}/staff/bay/{reference}/hand-over")
    looked_at(page)
    page.locator("#received_by").fill("Mara Ellison")
    page.get_by_role("button", name="Hand over and send the record").click()
    expect(page.get_by_text("Not handed over: this is still missing.")).to_be_visible()

    other = visit(width)
    second = enter(other, "wen")
    second.goto(f"{base}/staff/bay/{reference}/checks")
    signing = second.get_by_role("button", name="Second pair of eyes: Sign as Wen Tester")
    signing.click()
    expect(signing).to_have_count(0)
    second.goto(f"{base}/staff/bay/{reference}/hand-over")
    second.locator("#received_by").fill("Mara Ellison")
    second.get_by_role("button", name="Hand over and send the record").click()
    expect(second.get_by_text("The customer has the record")).to_be_visible()
    looked_at(second)

    home = visit(width, script=script)
    owner = home.open(f"/r/{token}")
    owner.get_by_role("link", name="Open the coverage record").click()
    owner.wait_for_url("**/record")
    expect(owner.get_by_text("GC-27-0087").first).to_be_visible()
    assert not script or violations(owner) == []
    owner.get_by_role("link", name="Something wrong? Hood").click()
    owner.wait_for_url("**/follow-up**")
    assert not script or violations(owner) == []
    assert owner.locator("#panel").input_value() == "hood"
    owner.locator("#notes").fill("A stone went through.")
    owner.get_by_role("button", name="Send the new request").click()
    wait_until(lambda: "/record" not in owner.url)
    expect(owner.get_by_text("A stone went through.")).to_be_visible()
    forgive(here, other, home)


def finish_panels(page: Page, base: str, reference: str, shop: Desk) -> None:
    """Hood by its button, the mirror by minutes typed, the last by the service: the pages are the same for all."""
    page.goto(f"{base}/staff/bay/{reference}/panels?zone=hood")
    looked_at(page)
    page.get_by_role("button", name="Start: Hood").click()
    page.get_by_role("button", name="Done: Hood").click()
    expect(page.get_by_text("Everything here is finished.")).to_be_visible()
    page.goto(f"{base}/staff/bay/{reference}/panels?zone=left")
    page.get_by_text("Minutes by hand, leave out").first.click()
    page.get_by_label("Minutes it took").first.fill("35")
    page.get_by_role("button", name="Done with these").first.click()
    expect(page.get_by_text("Everything here is finished.")).to_be_visible()
    office = Office(shop.wiring.desk())
    with office.store.reading() as work:
        job = work.bay.job(found(reference, work).id)
        tomas = next(Person(user.role, user.id, user.name) for user in work.users.all() if user.name.startswith("Tomas"))
    assert job is not None
    assert job.by_key["film_mirror_left"].minutes == 35.0
    for task in job.tasks:
        if task.is_asked_for and not task.is_finished:
            working.finish(reference, task.key, tomas, office)


def tick_all(page: Page, base: str, reference: str) -> None:
    page.goto(f"{base}/staff/bay/{reference}/checks")
    looked_at(page)
    in_order = page.get_by_role("button", name=re.compile("^In order:"))
    while (left := in_order.count()) > 0:
        in_order.first.click()
        expect(in_order).to_have_count(left - 1)


def test_stop_comes_first_and_parts_come_in_order(visit: Callable[..., Visit], shop: Desk, base: str) -> None:
    reference, _ = expected_car(shop, edges="hidden")
    here = visit(820, scheme="dark")
    page = enter(here, "tomas")
    check_in(page, base, reference, script=True)

    looked_at(page)
    headings = page.locator("main h2").all_inner_texts()
    assert headings[0] == "Stop and read before you go on"
    assert page.locator(".bay-list > li > .bay-number").first.inner_text() == "1"
    first = page.locator("[aria-current=step]")
    name = first.locator(".bay-row__text > b").inner_text()
    page.get_by_role("button", name=f"{name}: off").click()
    expect(page.locator("[aria-current=step] .bay-row__text > b")).not_to_have_text(name)
    forgive(here)


def test_an_assembler_sees_what_comes_off(visit: Callable[..., Visit], shop: Desk, base: str) -> None:
    reference, _ = expected_car(shop, edges="hidden", coverage={"package": "none", "add": ["hood", "front_bumper"]})
    desk, here = visit(820), visit(390)
    check_in(enter(desk, "tomas"), base, reference, script=True)

    page = enter(here, "jost")
    page.wait_for_url("**/staff/bay")

    looked_at(page)
    expect(page.get_by_role("heading", name="Comes off")).to_be_visible()
    page.get_by_role("link", name=f"Open: Comes off, {reference}").click()
    page.wait_for_url(f"**/{reference}/parts**")
    looked_at(page)
    assert page.locator(".bay-tabs a").count() == 1
    forgive(desk, here)
