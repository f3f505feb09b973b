"""The whole way of a quote in a real browser: scope changed, line adjusted, sent by the desk; opened and accepted by the customer.

Every page on the way is asked by axe-core (WCAG 2.2 A and AA rules, best practices) and must not scroll sideways.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest
from playwright.sync_api import Page

from configurator.domain.review import State
from tests.browser.conftest import Visit, wait_until
from tests.browser.serving import ADVISOR, log_in, served
from tests.browser.test_accessibility import violations
from tests.web.desk_app import Desk, make_desk

pytestmark = pytest.mark.browser


@dataclass
class Shop:
    desk: Desk
    origin: str

    def state(self, reference: str) -> State:
        with self.desk.wiring.store.reading() as work:
            return work.requests.by_reference(reference).state  # type: ignore[union-attr]


@pytest.fixture
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    desk = make_desk(tmp_path_factory.mktemp("quote"))
    with served(desk.app) as origin:
        yield Shop(desk, origin)


@pytest.fixture
def base(shop: Shop) -> str:
    return shop.origin


def sound(page: Page, *, script: bool = True) -> None:
    """Nothing for axe to say, nothing that scrolls sideways; both need a script that runs."""
    if script:
        page.wait_for_load_state("load")
        assert violations(page) == []
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def go(page: Page, act: Callable[[], object], ends: str) -> None:
    """Does something that leads to another page, and waits until that page is there."""
    act()
    page.wait_for_url(lambda address: address.split("?")[0].split("#")[0].endswith(ends))
    page.wait_for_load_state("load")


def scope_by_keys(here: Visit, reference: str) -> None:
    """Takes the request, adds a panel on the visitor's own drawing, compares and keeps it."""
    page = here.open(f"/staff/requests/{reference}")
    go(page, lambda: page.keyboard.press("t"), reference)
    wait_until(lambda: page.locator("[data-key=e]").count() == 1)
    sound(page)
    go(page, lambda: page.keyboard.press("e"), "/scope")
    sound(page)
    here.change(lambda: page.locator("#p-rocker_left").check())
    go(page, lambda: page.get_by_role("link", name="Keep", exact=False).last.click(), "/scope")
    wait_until(lambda: page.locator("#reason").count() == 1)
    sound(page)
    assert "Left rocker panel" in page.inner_text("main")
    page.fill("#reason", "Asked for the left rocker on the phone.")
    go(page, lambda: page.get_by_role("button", name="Keep this scope").click(), reference)


def write_and_send(page: Page, reference: str, *, script: bool = True) -> str:
    """Adjusts a line with a reason, offers two dates, sends; the firm price."""
    quote = f"{reference}/quote"
    page.locator("#line-labour a").click()
    wait_until(lambda: page.locator("#amount").count() == 1)
    page.fill("#amount", "1,700")
    page.get_by_role("button", name="Save", exact=True).click()
    wait_until(lambda: page.locator(".dk-fault").count() == 1)
    assert "without a reason" in page.inner_text(".dk-fault")
    sound(page, script=script)
    page.fill("#reason", "Border seen on the car: two passes per side.")
    go(page, lambda: page.get_by_role("button", name="Save", exact=True).click(), quote)
    wait_until(lambda: "two passes" in page.inner_text("main"))
    for place in (1, 2):
        page.locator("input[name=offer]").nth(place).check()
    go(page, lambda: page.get_by_role("button", name="Save dates and terms").click(), quote)
    wait_until(lambda: page.locator("input[name=offer]:checked").count() == 2)
    sound(page, script=script)
    price = page.inner_text("#total")
    if script:
        go(page, lambda: page.keyboard.press("Control+Enter"), "/quote/send")
    else:
        go(page, lambda: page.get_by_role("link", name="Send quote 1").first.click(), "/quote/send")
    sound(page, script=script)
    go(page, lambda: page.get_by_role("button", name="Send it to Mara Ellison").click(), reference)
    return price


def accept(here: Visit, token: str, price: str, *, script: bool = True) -> None:
    """Opens the link, reads, forgets a tick, and accepts."""
    page = here.open(f"/r/{token}")
    assert price in page.inner_text("main")
    sound(page, script=script)
    go(page, lambda: page.get_by_role("link", name="Look at dates and accept").click(), "/accept")
    sound(page, script=script)
    page.locator("input[name=drop_off]").first.check()
    page.fill("#name", "Mara Ellison")
    page.get_by_role("button", name="Accept this quote").click()
    wait_until(lambda: page.locator("[aria-invalid=true]").count() == 1)
    sound(page, script=script)
    here.complaints.clear()
    assert page.locator("input[name=drop_off]").first.is_checked()
    assert page.input_value("#name") == "Mara Ellison"
    page.locator("#consent-terms").check()
    go(page, lambda: page.get_by_role("button", name="Accept this quote").click(), token)
    assert "You have accepted the quote" in page.inner_text("h1")
    sound(page, script=script)


def test_from_review_to_acceptance_by_key_and_pointer(shop: Shop, visit: Callable[..., Visit]) -> None:
    reference, token = shop.desk.send()
    desk = visit(1440)
    page = log_in(desk, *ADVISOR)
    scope_by_keys(desk, reference)
    go(page, lambda: page.keyboard.press("q"), "/quote")
    sound(page)
    desk.complaints.clear()
    price = write_and_send(page, reference)
    desk.complaints.clear()
    assert shop.state(reference) is State.QUOTED

    accept(visit(390), token, price)
    assert shop.state(reference) is State.ACCEPTED


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_same_without_script(shop: Shop, visit: Callable[..., Visit], scheme: str) -> None:
    reference, token = shop.desk.send()
    desk = visit(390, script=False, scheme=scheme)
    page = log_in(desk, *ADVISOR)
    desk.open(f"/staff/requests/{reference}")
    page.get_by_role("button", name="Take it").click()
    go(page, lambda: page.get_by_role("link", name="Write firm quote").click(), "/quote")
    price = write_and_send(page, reference, script=False)
    desk.complaints.clear()
    customer = visit(390, script=False, scheme=scheme)
    accept(customer, token, price, script=False)
    customer.complaints.clear()

    assert shop.state(reference) is State.ACCEPTED


@pytest.mark.parametrize("width", [390, 1440])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_printed_page_and_the_desks_pages_hold_at_every_width(shop: Shop, visit: Callable[..., Visit], width: int, scheme: str) -> None:
    reference, _ = shop.desk.send()
    desk = visit(width, scheme=scheme)
    page = log_in(desk, *ADVISOR)
    desk.open(f"/staff/requests/{reference}")
    page.get_by_role("button", name="Take it").click()
    page.wait_for_load_state("load")
    for address in ("quote", "quote?line=labour", "quote?line=new", "quote/draft"):
        desk.open(f"/staff/requests/{reference}/{address}")
        sound(page)
    assert shop.state(reference) is State.IN_REVIEW
