"""The whole way in a real browser, with and without script: tap panels, see the price, send, and staff see it."""

from collections.abc import Callable

import pytest

from tests.browser.conftest import STAFF, Visit, wait_until

pytestmark = pytest.mark.browser

COVERAGE = "/configure?step=coverage&body=sedan&package=full_front"
SEND = "/configure?step=send&body=sedan&package=full_front"
LEAST_SECONDS = 2100


def fill_and_send(visit: Visit, name: str) -> None:
    page = visit.page
    page.fill("#name", name)
    page.fill("#email", "mara@quill.example")
    page.locator("input[name=date]").first.check()
    page.wait_for_timeout(LEAST_SECONDS)
    page.get_by_role("button", name="Send the request").click()
    page.wait_for_url("**/r/*")


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
@pytest.mark.parametrize("width", [390, 1440])
def test_a_tap_on_the_hood_leaves_it_bare_and_costs_less(visit: Callable[..., Visit], width: int, script: bool) -> None:
    here = visit(width, script=script)
    page = here.open(COVERAGE)
    before = here.range
    assert page.locator("#p-hood").is_checked()

    if script:
        here.change(lambda: here.tap("top", "hood"))
    else:
        here.tap("top", "hood")
        assert here.range == before
        page.get_by_role("button", name="Update").last.click()

    assert not page.locator("#p-hood").is_checked()
    assert here.range != before
    assert "remove=hood" in page.url


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_from_the_first_step_to_the_inbox(visit: Callable[..., Visit], script: bool) -> None:
    here = visit(390, script=script)
    page = here.open("/configure")
    headings = [page.inner_text("h1")]
    for _ in range(6):
        page.locator(".cfg-bar button:not(.cfg-update)").click()
        headings.append(page.inner_text("h1"))

    fill_and_send(here, f"Mara {'Script' if script else 'Plain'}")

    assert headings == [
        "What are you driving?", "What should be covered?", "How should it look?", "Lamps and glass",
        "How should the edges end?", "Your estimate", "Send it to the shop",
    ]  # fmt: skip
    assert page.inner_text("h1") == "Your request has arrived"
    assert here.page.context.cookies() == []

    staff = visit()
    staff.open("/staff/login")
    staff.page.fill("#email", STAFF[0])
    staff.page.fill("#password", STAFF[1])
    staff.page.get_by_role("button", name="Log in").click()
    staff.page.wait_for_url("**/staff/inbox")
    assert f"Mara {'Script' if script else 'Plain'}" in staff.page.inner_text("main")


def test_another_package_sets_its_own_panels_and_shows_where_film_ends(visit: Callable[..., Visit]) -> None:
    here = visit()
    page = here.open(COVERAGE)

    here.change(lambda: page.check("#package-partial_front"))

    assert page.locator("#p-hood").is_checked()
    assert page.locator(".view-top .v-hood .open-edge, .view-top .open-edge").count() > 0
    strip = here.range

    here.change(lambda: page.check("#w-hood"))

    assert "add=hood" in page.url
    assert here.range != strip


def test_every_change_is_said_once_and_politely(visit: Callable[..., Visit]) -> None:
    here = visit()
    page = here.open(COVERAGE)
    said = page.locator("[data-says]")
    assert said.get_attribute("role") == "status"

    here.change(lambda: page.uncheck("#p-hood"))

    assert said.inner_text() == f"Hood left bare. {here.range}, 1 day off-road."


def test_a_saved_address_opens_the_same_plan(visit: Callable[..., Visit]) -> None:
    here = visit()
    page = here.open(COVERAGE)
    here.change(lambda: page.check("#p-roof"))

    again = visit()
    again.page.goto(page.url)

    assert again.range == here.range
    assert again.page.locator("#p-roof").is_checked()


def test_what_can_be_mended_is_said_beside_its_field_and_takes_focus(visit: Callable[..., Visit]) -> None:
    here = visit(390)
    page = here.open(SEND)
    page.fill("#name", "Mara Quill")
    page.fill("#email", "mara@")
    page.wait_for_timeout(LEAST_SECONDS)

    page.get_by_role("button", name="Send the request").click()
    page.wait_for_url("**/send")

    assert page.evaluate("document.activeElement.id") == "errors"
    assert page.locator("#email").get_attribute("aria-invalid") == "true"
    assert page.locator("#email-error").is_visible()
    assert page.input_value("#name") == "Mara Quill"
    page.locator("#errors a").click()
    assert page.evaluate("document.activeElement.id") == "email"
    here.complaints.clear()


def test_a_smoked_lamp_has_to_be_acknowledged(visit: Callable[..., Visit]) -> None:
    here = visit()
    page = here.open(SEND + "&lamp.tail_lamps=smoke_medium")
    page.fill("#name", "Mara Quill")
    page.fill("#email", "mara@quill.example")
    page.wait_for_timeout(LEAST_SECONDS)
    page.get_by_role("button", name="Send the request").click()
    page.wait_for_url("**/send")
    assert page.locator("#acknowledged-error").is_visible()

    page.check("#ack-tail_lamps")
    page.get_by_role("button", name="Send the request").click()

    page.wait_for_url("**/r/*")
    here.complaints.clear()


def test_the_back_button_leads_back_through_the_steps(visit: Callable[..., Visit]) -> None:
    here = visit()
    page = here.open(COVERAGE)
    here.change(lambda: page.check("#p-roof"))
    page.get_by_role("button", name="Continue to finish").click()
    page.wait_for_url("**step=finish**")

    page.go_back()

    wait_until(lambda: "step=coverage" in page.url)
    assert page.locator("#p-roof").is_checked()
