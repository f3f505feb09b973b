"""The calendar in a real browser: placing and moving by keyboard, by pointer and without script; axe; words that fit their bars."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from configurator.services.places.blocking_time import block_bay
from tests.booking_builders import ROBIN, at
from tests.browser.conftest import Visit, wait_until
from tests.browser.serving import ADVISOR, log_in, served
from tests.browser.test_accessibility import violations
from tests.web import test_calendar_pages as pages
from tests.web.desk_app import Desk, make_desk

pytestmark = pytest.mark.browser
WEEK = "/staff/calendar?week=2027-W11"


@dataclass
class Shop:
    desk: Desk
    origin: str

    def scheduled(self, start: str, bay: int) -> str:
        return pages.scheduled(self.desk, start, bay)[0]

    def accepted(self) -> str:
        return pages.accepted(self.desk)[0]

    def booked(self, reference: str) -> tuple[str, int]:
        """When and where a request's place is, on the shop's clock."""
        with self.desk.wiring.store.reading() as work:
            kept = work.requests.by_reference(reference)
            booking = work.bookings.of(kept) if kept else None
        assert booking is not None
        return f"{booking.place.drop_off.astimezone(at('2027-03-15 00:00').tzinfo):%Y-%m-%d %H:%M}", booking.place.bay


@pytest.fixture
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A shop of its own for each test: what one test books must not stand in another's way."""
    desk = make_desk(tmp_path_factory.mktemp("calendar"))
    with served(desk.app) as origin:
        yield Shop(desk, origin)


@pytest.fixture
def base(shop: Shop) -> str:
    return shop.origin


def after_it_moved(page: Page, act: Callable[[], object]) -> None:
    """Does something and waits until the server's answer is shown: its address is set last.

    The page is asked for it, not Playwright's own memory, which stands still while nobody asks.
    """
    before = page.evaluate("location.href")
    act()
    wait_until(lambda: page.evaluate("location.href") != before)


def test_a_job_is_placed_with_the_keyboard_alone(visit: Callable[..., Visit], shop: Shop) -> None:
    reference = shop.accepted()
    page = log_in(visit(), *ADVISOR)
    page.goto(f"{shop.origin}/staff/requests/{reference}/place?day=2027-03-15&time=08:30&bay=1")
    block = page.locator("#looked-at")
    block.focus()
    for key in ("Shift+ArrowRight", "ArrowRight", "ArrowRight", "ArrowDown"):
        after_it_moved(page, lambda key=key: page.keyboard.press(key))  # type: ignore[misc]
        assert page.evaluate("document.activeElement.id") == "looked-at", "the focus stays on the block"

    assert "day=2027-03-16" in page.url
    assert "It is free" in page.locator("#said").inner_text()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "place-it"
    page.keyboard.press("Enter")
    page.wait_for_url("**/staff/calendar**")

    assert shop.booked(reference) == ("2027-03-16 09:30", 2)
    assert page.locator(f"[data-lane='2'] #job-{reference}").is_visible()


def test_the_arrow_keys_step_over_the_night(visit: Callable[..., Visit], shop: Shop) -> None:
    reference = shop.accepted()
    page = log_in(visit(), *ADVISOR)
    page.goto(f"{shop.origin}/staff/requests/{reference}/place?day=2027-03-15&time=08:30&bay=1")
    page.locator("#looked-at").focus()
    after_it_moved(page, lambda: page.keyboard.press("ArrowLeft"))
    assert "day=2027-03-14&time=17%3A00" in page.url
    after_it_moved(page, lambda: page.keyboard.press("ArrowRight"))
    assert "day=2027-03-15&time=08%3A30" in page.url


def test_keys_pressed_in_a_row_end_where_they_add_up(visit: Callable[..., Visit], shop: Shop) -> None:
    """The page asks once for all of them, and never shows an answer that came too late."""
    reference = shop.accepted()
    page = log_in(visit(), *ADVISOR)
    page.goto(f"{shop.origin}/staff/requests/{reference}/place?day=2027-03-15&time=08:30&bay=1")
    page.locator("#looked-at").focus()
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    wait_until(lambda: "time=11%3A00" in page.evaluate("location.href"))

    assert page.locator("#time").input_value() == "11:00"
    assert "11:00" in page.locator("#place-verdict .dk-note").inner_text()


def test_a_block_moved_onto_another_car_says_why_and_leads_out(visit: Callable[..., Visit], shop: Shop) -> None:
    first = shop.scheduled("2027-03-15 08:30", 1)
    second = shop.accepted()
    page = log_in(visit(), *ADVISOR)
    page.goto(f"{shop.origin}/staff/requests/{second}/place?day=2027-03-22&time=08:30&bay=1")
    page.locator("#looked-at").focus()
    for _ in range(7):
        after_it_moved(page, lambda: page.keyboard.press("Shift+ArrowLeft"))

    assert page.locator(".cal-bar--clash").is_visible()
    assert f"taken by {first}" in page.locator("#said").inner_text()
    page.locator(".cal-places button").first.click()
    page.wait_for_url("**/staff/calendar**")
    assert page.locator(f"#job-{second}").is_visible()


def test_a_click_into_a_lane_looks_at_that_time(visit: Callable[..., Visit], shop: Shop) -> None:
    reference = shop.accepted()
    page = log_in(visit(), *ADVISOR)
    page.goto(f"{shop.origin}/staff/requests/{reference}/place?day=2027-03-15&time=08:30&bay=1")
    day = page.locator("[data-day='2027-03-17']").bounding_box()
    lane = page.locator("[data-lane='2']").bounding_box()
    assert day is not None
    assert lane is not None
    after_it_moved(page, lambda: page.mouse.click(day["x"] + day["width"] * 0.53, lane["y"] + lane["height"] / 2))

    assert "day=2027-03-17&time=13%3A00&bay=2" in page.url
    assert page.locator("[data-lane='2'] #proposed").count() == 1 or "1:15" in page.locator("#place-verdict").inner_text()


def test_an_appointment_is_moved_without_script(visit: Callable[..., Visit], shop: Shop) -> None:
    reference = shop.scheduled("2027-03-15 08:30", 1)
    page = log_in(visit(script=False), *ADVISOR)
    page.goto(shop.origin + WEEK)
    page.locator(f"#job-{reference} a").click()
    page.fill("#day", "2027-03-17")
    page.fill("#time", "10:00")
    page.select_option("#bay", "2")
    page.get_by_role("button", name="Look at this time").click()
    page.get_by_role("button", name="Move it here").first.click()
    page.wait_for_url("**/staff/calendar**")

    assert shop.booked(reference) == ("2027-03-17 10:00", 2)
    box = page.locator(f"#job-{reference}").bounding_box()
    assert box is not None
    assert box["width"] > 60, "the style element places it without script too"


def axe_on(page: Page, part: str) -> list[str]:
    """What axe objects to within one part of a page."""
    return [each["id"] for each in Axe().run(page, context=part).response["violations"]]


@pytest.mark.parametrize(("width", "scheme"), [(390, "dark"), (1440, "light")])
def test_axe_has_nothing_to_say(visit: Callable[..., Visit], shop: Shop, width: int, scheme: str) -> None:
    first, second = shop.scheduled("2027-03-15 08:30", 1), shop.accepted()
    here = visit(width, scheme=scheme)
    page = log_in(here, *ADVISOR)
    for address in (
        WEEK,
        f"/staff/requests/{second}/place?day=2027-03-15&time=08:30&bay=1",
        f"/staff/requests/{second}/place?day=2027-03-15&time=08:30&bay=2",
        f"/staff/requests/{first}/place",
        f"/staff/requests/{first}/work",
    ):
        here.open(address)
        assert violations(page) == [], address
        assert page.evaluate("document.documentElement.scrollWidth") <= width, address


def test_the_visitors_appointment_passes_axe(visit: Callable[..., Visit], shop: Shop) -> None:
    _, token = pages.scheduled(shop.desk)
    for width, scheme in ((390, "light"), (1440, "dark")):
        page = visit(width, scheme=scheme).open(f"/r/{token}")
        assert page.get_by_role("link", name="Add it to your calendar").is_visible()
        assert axe_on(page, "section:has(#appointment)") == []


@pytest.mark.parametrize("width", [1024, 1440])
def test_every_bar_holds_its_words_where_two_cars_share_a_lane(visit: Callable[..., Visit], shop: Shop, width: int) -> None:
    """A car that leaves on Monday morning, one that comes the day after, a bay blocked for half a day."""
    desk = shop.desk.wiring.desk()
    shop.scheduled("2027-03-12 08:30", 1)
    shop.scheduled("2027-03-16 13:15", 1)
    block_bay(1, at("2027-03-16 08:30"), at("2027-03-16 12:30"), "lift service", ROBIN, desk)
    page = log_in(visit(width), *ADVISOR)
    page.goto(shop.origin + WEEK)
    bars = page.locator("[data-lane='1'] .cal-bar")

    assert bars.count() == 3
    boxes = []
    for index in range(bars.count()):
        first_line = bars.nth(index).locator("b").first
        assert first_line.evaluate("element => element.scrollWidth <= element.clientWidth + 1"), first_line.inner_text()
        boxes.append(bars.nth(index).locator(".cal-bar__words b").bounding_box())
    for index, one in enumerate(boxes):
        for other in boxes[index + 1 :]:
            assert one is not None
            assert other is not None
            assert one["x"] + one["width"] <= other["x"] + 1 or one["y"] + one["height"] <= other["y"] + 1, "words lie on other words"


def test_the_phone_shows_a_list_by_day_and_the_desk_the_lanes(visit: Callable[..., Visit], shop: Shop) -> None:
    reference = shop.scheduled("2027-03-15 08:30", 1)
    for width, shown, hidden in ((390, ".cal-list", ".cal"), (1440, ".cal", ".cal-list")):
        page = log_in(visit(width), *ADVISOR)
        page.goto(shop.origin + WEEK)
        assert page.locator(shown).is_visible()
        assert not page.locator(hidden).is_visible()
        link = page.locator(shown).get_by_role("link", name=reference).first
        assert link.is_visible()
        box = link.bounding_box()
        assert box is not None
        assert box["height"] >= 44, "2.5.8 asks for 24; the desk's own rule for touch is 44"
