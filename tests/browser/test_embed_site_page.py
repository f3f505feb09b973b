"""The owner's page about the shop's own site, as the owner uses it: pick, look, copy, let a site in and see it work there."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import OWNER, Site, Visit, serve_site, wait_until
from tests.browser.embedding import frame_of, heard, host_page, wait_settled
from tests.browser.test_accessibility import violations

pytestmark = pytest.mark.browser


@pytest.fixture
def new_site() -> Iterator[Site]:
    """A site of which nobody has heard yet."""
    site, server = serve_site("localhost")
    yield site
    server.shutdown()


def open_page(here: Visit, query: str = "") -> Page:
    page = here.open("/staff/login")
    page.fill("#email", OWNER[0])
    page.fill("#password", OWNER[1])
    page.get_by_role("button", name="Log in").press("Enter")
    page.wait_for_url("**/staff/inbox")
    return here.open(f"/staff/site{query}")


def forgive_own_frames(here: Visit) -> None:
    """Chromium notes that a frame of our own origin could lift its sandbox; on other sites, which is what counts, it can't.

    A pick replaces the preview while it may still be loading: what is broken off then is no fault. A missing file is said otherwise.
    """
    forgiven = ("can escape its sandboxing", "failed: ")
    here.complaints[:] = [each for each in here.complaints if not any(part in each for part in forgiven)]


def test_picks_show_at_once_in_the_lines_and_in_the_preview(visit: Callable[..., Visit]) -> None:
    here = visit()
    page = open_page(here)
    preview = page.frame_locator("#preview-frame")
    preview.frame_locator("tuckline-configurator iframe").get_by_role("heading", name="What are you driving?").wait_for()

    page.select_option("#pick-body", "suv")
    page.select_option("#pick-theme", "dark")
    page.locator("#pick-accent").fill("#8a3b12")

    wait_until(lambda: 'body="suv" theme="dark" accent="#8a3b12"' in page.input_value("#snippet"))
    inner = preview.frame_locator("tuckline-configurator iframe")
    inner.locator("#body-suv").wait_for()
    wait_until(lambda: inner.locator("#body-suv").is_checked())
    assert inner.locator("html").get_attribute("data-theme") == "dark"
    assert "Shown as #8a3b12 on light" in page.inner_text("#accent-says")
    assert "own_accent=yes" in page.url
    assert page.evaluate("document.activeElement.id") in {"pick-accent", "pick-theme"}
    forgive_own_frames(here)


def test_the_preview_may_be_a_phone_or_a_browser_without_script(visit: Callable[..., Visit]) -> None:
    here = visit()
    page = open_page(here, "?body=van")
    page.get_by_role("link", name="Phone").click()
    wait_until(lambda: (page.locator("#preview-frame").bounding_box() or {"width": 0})["width"] < 400)

    page.get_by_role("link", name="Without script").click()

    page.frame_locator("#preview-frame").get_by_role("link", name="Plan your film and see a price range").wait_for()
    assert page.get_by_role("link", name="Without script").get_attribute("aria-current") == "true"
    assert 'body="van"' in page.input_value("#snippet")
    forgive_own_frames(here)


def test_the_lines_can_be_copied_with_a_button_and_without_the_clipboard(visit: Callable[..., Visit]) -> None:
    here = visit()
    here.page.context.grant_permissions(["clipboard-read", "clipboard-write"], origin=here.base)
    page = open_page(here)
    button = page.locator("[data-copies=snippet]")

    button.click()
    page.get_by_text("Copied.", exact=True).wait_for()
    assert page.evaluate("navigator.clipboard.readText()") == page.input_value("#snippet")

    page.evaluate("void (navigator.clipboard.writeText = () => Promise.reject(new Error('not allowed')))")
    button.click()
    wait_until(lambda: page.evaluate("getSelection().toString() || document.activeElement.id") in {"snippet", page.input_value("#snippet")})
    forgive_own_frames(here)


def test_without_script_a_button_shows_the_picks(visit: Callable[..., Visit]) -> None:
    here = visit(390, script=False)
    page = open_page(here)
    page.select_option("#pick-package", "track")
    page.get_by_role("button", name="Show it like this").press("Enter")
    page.wait_for_url("**package=track**")

    assert 'package="track"' in page.input_value("#snippet")
    assert page.locator("[data-copies]").first.is_hidden()


def test_a_site_that_is_let_in_shows_it_within_seconds_and_not_after_it_is_taken_off(visit: Callable[..., Visit], new_site: Site) -> None:
    here, there = visit(), visit(1200)
    address = new_site.show("/", host_page(here.base))
    there.page.goto(address)
    frame_of(there.page).get_by_role("heading", name="Not shown on this site").wait_for()

    page = open_page(here)
    wait_until(lambda: new_site.origin in page.request.get(f"{here.base}/staff/site").text())
    page.reload()
    page.get_by_role("link", name=f"Fill it in above {new_site.origin}").click()
    assert page.input_value("#site") == new_site.origin
    page.get_by_role("button", name="Put it on the list").press("Enter")
    page.get_by_text(f"{new_site.origin} may show the configurator from now on.").wait_for()
    there.page.goto(address)
    wait_settled(there.page)
    assert heard(there.page, "error") == []

    page.get_by_role("button", name=f"Take off {new_site.origin}").press("Enter")
    page.get_by_text(f"{new_site.origin} is off the list.").wait_for()
    there.page.goto(address)
    frame_of(there.page).get_by_role("heading", name="Not shown on this site").wait_for()
    wait_until(lambda: {"code": "refused"} in heard(there.page, "error"))
    there.complaints.clear()
    forgive_own_frames(here)


@pytest.mark.parametrize(("width", "scheme"), [(390, "dark"), (1440, "light")])
def test_axe_has_nothing_to_say(visit: Callable[..., Visit], width: int, scheme: str) -> None:
    here = visit(width, scheme=scheme)
    page = open_page(here, "?test=https://pellwick.example&own_accent=yes&accent=%238a3b12")
    page.frame_locator("#preview-frame").frame_locator("tuckline-configurator iframe").locator("cfg-plan").wait_for()

    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    forgive_own_frames(here)
