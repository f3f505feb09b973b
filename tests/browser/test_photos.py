"""Photos in a real browser, with and without script: the visitor adds some, the advisor looks through them, the owner forgets them."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page

from tests.browser.conftest import OWNER, STAFF, Visit, wait_until
from tests.browser.serving import log_in
from tests.browser.test_accessibility import violations
from tests.browser.test_journey import SEND, fill_and_send

pytestmark = pytest.mark.browser


@pytest.fixture
def pictures(tmp_path: Path) -> list[str]:
    """Three photos; the last one is no photo at all."""
    files = []
    for number, colour in enumerate(("firebrick", "steelblue")):
        file = tmp_path / f"side {number}.png"
        Image.new("RGB", (1200, 900), colour).save(file)
        files.append(str(file))
    (tmp_path / "letter.jpg").write_text("not a photo")
    return [*files, str(tmp_path / "letter.jpg")]


def sent(here: Visit) -> str:
    """Sends a request; its private page."""
    here.open(SEND)
    fill_and_send(here, "Mara Ellison")
    return here.page.url.removeprefix(here.base)


def forgive(here: Visit, *parts: str) -> None:
    """Drops complaints that belong to what the test does: a refusal, a download, an icon that a quick key press left behind."""
    here.complaints[:] = [each for each in here.complaints if not any(part in each for part in (*parts, "icon.svg"))]


def shown(page: Page) -> int:
    """How many thumbnails really came (not a broken image)."""
    return page.evaluate(
        "[...document.querySelectorAll('.ph-thumb img')].filter((image) => image.complete && image.naturalWidth > 0).length"
    )


def scroll_through(page: Page) -> None:
    """Pictures load when they come near."""
    for thumb in page.locator(".ph-thumb").all():
        thumb.scroll_into_view_if_needed()


def test_several_at_once_and_the_one_that_is_refused_says_why(visit: Callable[..., Visit], pictures: list[str]) -> None:
    here = visit(390)
    link = sent(here)
    page = here.open(f"{link}/photos")
    assert violations(page) == []
    page.set_input_files("#photo", pictures)
    page.get_by_role("button", name="Add the photo").click()

    page.locator("[data-state=failed]").wait_for()
    assert page.locator("[data-state=failed]").inner_text().startswith("This is not a photo that we can take.")
    wait_until(lambda: page.locator("form button").get_attribute("aria-disabled") is None)
    page.reload()
    scroll_through(page)
    wait_until(lambda: shown(page) == 2)
    assert violations(page) == []

    page.locator(".ph-thumb").first.click()
    page.wait_for_url("**/photos/*")
    first = page.url
    assert violations(page) == []
    page.keyboard.press("ArrowRight")
    page.wait_for_url(lambda address: address != first)
    assert page.locator("figcaption").inner_text().startswith("Photo 2")
    forgive(here, "422")


def test_without_script_one_at_a_time_and_the_advisor_sees_it(visit: Callable[..., Visit], pictures: list[str]) -> None:
    visitor = visit(390, script=False, scheme="dark")
    link = sent(visitor)
    page = visitor.open(link)
    page.get_by_role("link", name="Add photos").click()
    page.get_by_role("button", name="Add the photo").click()
    assert page.locator("#photo-fault").inner_text() == "Please choose a photo first."
    page.set_input_files("#photo", pictures[0])
    page.fill("#photo-caption", "Chips on the nose")
    page.get_by_role("button", name="Add the photo").click()
    page.wait_for_url("**/photos")
    assert page.locator(".ph-thumb").inner_text() == "Chips on the nose"
    forgive(visitor, "422")
    reference = visitor.open(link).locator("p.cfg-quiet").first.inner_text().split()[1].strip(",")

    advisor = visit()
    desk = log_in(advisor, *STAFF)
    advisor.open(f"/staff/requests/{reference}")
    desk.locator(".ph-thumb").scroll_into_view_if_needed()
    wait_until(lambda: shown(desk) == 1)
    desk.get_by_role("link", name="Chips on the nose").click()
    desk.wait_for_url("**/photos/*")
    assert desk.locator(".ph-view img").get_attribute("alt") == "Chips on the nose"
    assert violations(desk) == []
    advisor.open(f"/staff/requests/{reference}/photos")
    assert violations(desk) == []


def test_the_owner_looks_a_person_up_and_forgets_them(visit: Callable[..., Visit], pictures: list[str]) -> None:
    visitor = visit(390)
    link = sent(visitor)
    here = visit(1440)
    page = log_in(here, *OWNER)
    for address in ("/staff/audit", "/staff/export", "/staff/person-data"):
        here.open(address)
        assert violations(page) == []
    page.fill("#email", "mara@quill.example")
    page.get_by_role("button", name="Look it up").click()
    page.locator("#again").wait_for()
    assert violations(page) == []
    with page.expect_download() as started:
        page.get_by_role("button", name="Download everything (ZIP)").click()
    assert started.value.suggested_filename == "personal-data.zip"

    page.fill("#again", "mara@quill.example")
    page.get_by_role("button", name="Erase this person").click()

    page.get_by_text("What happened stays in the history").wait_for()
    assert "mara" not in page.url
    visitor.open(link)
    assert visitor.page.inner_text("h1") == "There is nothing at this address"
    forgive(visitor, "404")
    forgive(here, "/export")
