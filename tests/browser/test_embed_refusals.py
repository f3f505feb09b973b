"""Where the configurator must not show, and what stands there instead: calm words, a link, never a hole."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Route

from tests.browser.conftest import Site, Visit, wait_until
from tests.browser.embedding import TAG, frame_of, heard, height, host_page, wait_complaint

pytestmark = pytest.mark.browser


def test_a_site_that_is_not_listed_sees_a_calm_refusal(visit: Callable[..., Visit], stranger_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(stranger_site.show("/plain", host_page(here.base)))

    frame_of(page).get_by_role("heading", name="Not shown on this site").wait_for()
    wait_until(lambda: {"code": "refused"} in heard(page, "error"))
    wait_until(lambda: height(page) < 400)
    assert frame_of(page).locator("form, button, input").count() == 0
    wait_complaint(here, "is not on the shop's list of sites")
    here.complaints.clear()


def test_a_page_that_claims_another_site_stays_blank(visit: Callable[..., Visit], host_site: Site, stranger_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(stranger_site.show("/liar", f'<iframe src="{here.base}/embed/configure?site={host_site.origin}"></iframe>'))
    wait_complaint(here, "frame-ancestors")

    inner = next(each for each in page.frames if each != page.main_frame)
    assert inner.locator("form").count() == 0
    here.complaints.clear()


def test_a_listed_page_inside_a_strangers_page_stays_blank(visit: Callable[..., Visit], host_site: Site, stranger_site: Site) -> None:
    """Every page around the frame counts, not only the nearest."""
    here = visit(1200)
    page = here.page
    inner = host_site.show("/inner", host_page(here.base))
    page.goto(stranger_site.show("/around", f'<iframe src="{inner}" width="1000" height="800"></iframe>'))

    wait_complaint(here, "frame-ancestors")
    host = next(each for each in page.frames if each.url == inner)
    host.get_by_role("link", name="Plan your film").wait_for()
    here.complaints.clear()


@pytest.mark.parametrize("path", ["/staff/login", "/staff/site", "/r/nobody", "/", "/configure", "/embed/preview"])
def test_what_is_not_for_frames_cannot_be_framed(visit: Callable[..., Visit], host_site: Site, path: str) -> None:
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/framing", f'<iframe src="{here.base}{path}"></iframe>'))

    wait_complaint(here, "frame-ancestors")
    here.complaints.clear()


def test_without_script_on_the_host_a_link_leads_on(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390, script=False)
    page = here.page
    page.goto(host_site.show("/noscript", host_page(here.base)))

    page.get_by_role("link", name="Plan your film").click()

    page.get_by_role("heading", name="What are you driving?").wait_for()


def test_a_policy_that_keeps_the_frame_out_leaves_the_link(visit: Callable[..., Visit], host_site: Site) -> None:
    """The host's own policy names our script but not our frame: the link shows soon, and the console says what to add."""
    here = visit(1200)
    page = here.page
    policy = f"default-src 'none'; script-src {here.base} 'unsafe-inline'; frame-src 'none'"
    page.goto(host_site.show("/shut", host_page(here.base), Content_Security_Policy=policy))

    page.get_by_role("link", name="Plan your film").wait_for()
    assert {"code": "no_answer"} in heard(page, "error")
    wait_complaint(here, "frame-src")
    here.complaints.clear()


def test_a_server_that_is_away_leaves_the_link(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.route("**/embed/configure**", lambda route: route.abort())
    page.goto(host_site.show("/away", host_page(here.base)))

    page.get_by_role("link", name="Plan your film").wait_for()
    assert page.locator(TAG).evaluate("element => element.offsetHeight") < 100
    here.complaints.clear()


def test_an_answer_that_comes_late_still_counts(visit: Callable[..., Visit], host_site: Site) -> None:
    """A slow line: the link shows first, then the configurator takes its place."""
    here = visit(1200)
    page = here.page
    held: list[Route] = []
    page.route("**/js/frame-element.js", lambda route: held.append(route))
    page.goto(host_site.show("/late", host_page(here.base)), wait_until="commit")
    wait_until(lambda: bool(page.evaluate("true") and held))
    page.evaluate("document.querySelector('tuckline-configurator').shadowRoot.querySelector('iframe').dispatchEvent(new Event('load'))")
    page.get_by_role("link", name="Plan your film").wait_for()

    held[0].continue_()

    frame_of(page).get_by_role("heading", name="What are you driving?").wait_for()
    page.get_by_role("link", name="Plan your film").wait_for(state="hidden")
    here.complaints.clear()
