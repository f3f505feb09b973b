"""The configurator on other people's pages: another origin, hostile styles, strict policies, single-page apps, right-to-left."""

from collections.abc import Callable

import pytest
from playwright.sync_api import FrameLocator, Page

from tests.browser.conftest import Site, Visit, wait_until

pytestmark = pytest.mark.browser

EVENTS = """
<script>window.heard = [];
for (const name of ["ready", "estimate", "submitted", "error"])
  document.addEventListener("tuckline:" + name, (event) => window.heard.push([name, event.detail]));</script>
"""


def host_page(base: str, *, head: str = "", body: str = "", attributes: str = "", html: str = 'lang="en"') -> str:
    """A page as a shop's web person would write it."""
    return f"""<!doctype html><html {html}><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>A shop</title>{head}{EVENTS}<script src="{base}/embed.js" async></script></head><body>
<h1>A shop's own page</h1>{body}
<tuckline-configurator package="full_front" body="sedan" {attributes}><a href="{base}/configure">Plan your film</a></tuckline-configurator>
<p id="after">What comes after</p></body></html>"""


def frame_of(page: Page) -> FrameLocator:
    return page.frame_locator("tuckline-configurator iframe").first


def heard(page: Page, name: str) -> list[dict[str, object]]:
    return [detail for said, detail in page.evaluate("window.heard") if said == name]


def height(page: Page) -> float:
    box = page.locator("tuckline-configurator iframe").first.bounding_box()
    assert box is not None
    return box["height"]


def wait_ready(page: Page, count: int = 1) -> None:
    wait_until(lambda: len(heard(page, "ready")) >= count)


def content_height(page: Page) -> float:
    return float(frame_of(page).locator("cfg-frame").evaluate("element => Math.ceil(element.getBoundingClientRect().height)"))


def wait_fitted(page: Page) -> None:
    wait_until(lambda: abs(height(page) - content_height(page)) <= 1)


def wait_settled(page: Page, pages: int) -> None:
    """The frame's `pages`-th page has run its script, taken focus and got its height; before that a key may go to the page it replaces."""
    wait_ready(page, pages)
    wait_fitted(page)


def test_a_listed_site_shows_it_at_its_full_height_and_hears_of_the_estimate(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/plain", host_page(here.base)))
    wait_ready(page)
    wait_fitted(page)

    assert frame_of(page).locator("h1").inner_text() == "What are you driving?"
    assert page.locator("tuckline-configurator iframe").get_attribute("title") == "Plan your film"
    assert page.locator("tuckline-configurator a").is_hidden()
    wait_until(lambda: bool(heard(page, "estimate")))
    first = heard(page, "estimate")[0]
    assert set(first) == {"currency", "low", "typical", "high", "days_off_road"}
    assert page.evaluate("Object.keys(window).filter((name) => /tuckline/i.test(name))") == []

    frame_of(page).locator("#paint_condition").select_option("chipped")
    wait_until(lambda: heard(page, "estimate")[-1] != first)


def test_the_whole_journey_in_a_frame_needs_no_cookie_and_no_storage(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/journey", host_page(here.base)))
    wait_settled(page, pages=1)
    frame = frame_of(page)
    headings = (
        "What should be covered?",
        "How should it look?",
        "Lamps and glass",
        "How should the edges end?",
        "Your estimate",
        "Send it to the shop",
    )
    for steps_done, heading in enumerate(headings, 1):
        frame.locator(".cfg-bar button:not(.cfg-update)").press("Enter")
        frame.get_by_role("heading", name=heading, level=1).wait_for()
        wait_settled(page, pages=steps_done + 1)
    frame.locator("#name").fill("Mara Quill")
    frame.locator("#email").fill("mara@quill.example")
    page.wait_for_timeout(2100)

    frame.get_by_role("button", name="Send the request").click()

    wait_until(lambda: bool(heard(page, "submitted")))
    assert list(heard(page, "submitted")[0]) == ["reference"]
    assert here.page.context.cookies() == []
    link = frame.get_by_role("link", name="private page")
    assert link.get_attribute("target") == "_blank"
    assert "/r/" in (link.get_attribute("href") or "")
    inner = next(each for each in page.frames if each != page.main_frame)
    assert inner.evaluate("(() => { try { return localStorage.length + sessionStorage.length } catch { return 0 } })()") == 0


def test_the_price_stays_in_the_strip_that_can_be_seen(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/long", host_page(here.base, body='<p style="height:700px">A long story first.</p>')))
    page.mouse.wheel(0, 500)
    wait_ready(page)
    wait_fitted(page)

    def bar_in_view() -> bool:
        box = frame_of(page).locator(".cfg-bar").bounding_box()
        return box is not None and box["y"] >= 0 and box["y"] + box["height"] <= 901

    for _ in range(3):
        page.mouse.wheel(0, 600)
        page.wait_for_timeout(200)
        wait_until(bar_in_view, 3000)


def test_a_step_inside_the_frame_brings_its_top_into_view(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/steps", host_page(here.base)))
    wait_ready(page)
    wait_fitted(page)
    page.mouse.wheel(0, 1200)
    page.wait_for_timeout(200)

    frame_of(page).locator(".cfg-bar button:not(.cfg-update)").click()
    frame_of(page).get_by_role("heading", name="What should be covered?").wait_for()

    wait_until(lambda: abs(page.locator("tuckline-configurator").evaluate("element => element.getBoundingClientRect().top")) < 2)


def test_a_fixed_height_has_its_own_scroll(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/fixed", host_page(here.base, attributes='height="640"')))
    wait_ready(page)
    page.wait_for_timeout(300)

    assert height(page) == 640
    assert frame_of(page).locator(".cfg-bar").evaluate("element => getComputedStyle(element).position") == "fixed"


HOSTILE = """<style>* { all: revert } iframe { width: 0; height: 0; display: none }
tuckline-configurator { display: none; width: 3px } html { font-size: 60px }</style>"""


def test_hostile_styles_do_not_reach_it(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/hostile", host_page(here.base, head=HOSTILE)))
    wait_ready(page)
    wait_fitted(page)

    box = page.locator("tuckline-configurator iframe").bounding_box()
    assert box is not None
    assert box["width"] > 900
    assert frame_of(page).locator("h1").evaluate("element => getComputedStyle(element).fontSize") == "32px"


def test_a_strict_policy_only_has_to_name_our_origin(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    policy = f"default-src 'none'; script-src {here.base} 'nonce-x'; frame-src {here.base}; base-uri 'none'"
    html = host_page(here.base).replace("<script>", '<script nonce="x">')
    page.goto(host_site.show("/strict", html, Content_Security_Policy=policy))
    wait_ready(page)
    wait_fitted(page)

    assert height(page) > 800


def test_an_app_may_put_it_up_and_take_it_down(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/app", host_page(here.base)))
    wait_ready(page)

    page.evaluate("window.element = document.querySelector('tuckline-configurator'); window.element.remove()")
    page.wait_for_timeout(200)
    page.evaluate("document.body.append(window.element)")
    wait_ready(page, 2)
    page.evaluate(
        """const script = document.createElement("script");
        script.src = document.querySelector("script[src]").src;
        document.head.append(script)"""
    )
    page.wait_for_timeout(300)

    wait_fitted(page)
    assert page.locator("tuckline-configurator iframe").count() == 1


def test_two_of_them_keep_apart(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    link = f'<a href="{here.base}/configure">Plan another</a>'
    second = f'<tuckline-configurator id="two" package="track" body="suv">{link}</tuckline-configurator>'
    page.goto(host_site.show("/two", host_page(here.base, body=second)))
    wait_ready(page, 2)

    assert page.frame_locator("#two iframe").locator("#body-suv").is_checked()
    assert page.frame_locator("tuckline-configurator:not(#two) iframe").locator("#body-sedan").is_checked()


def test_it_is_at_home_on_a_page_that_reads_from_right_to_left(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/rtl", host_page(here.base, html='lang="ar" dir="rtl"')))
    wait_ready(page)
    wait_fitted(page)

    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_attributes_set_language_theme_and_accent_and_may_change(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(
        host_site.show("/look", host_page(here.base, attributes='locale="de" theme="dark" accent="#b00020" radius="12" font="serif"'))
    )
    wait_ready(page)
    frame = frame_of(page)

    assert frame.locator("html").get_attribute("lang") == "de"
    assert frame.locator("html").get_attribute("data-theme") == "dark"
    assert frame.locator("html").evaluate("element => getComputedStyle(element).getPropertyValue('--radius')") == "12px"

    frame.locator("#body-suv").check()
    wait_until(lambda: "body=suv" in (frame.locator("cfg-plan").get_attribute("data-address") or ""))
    page.evaluate("document.querySelector('tuckline-configurator').setAttribute('theme', 'light')")

    wait_until(lambda: frame.locator("html").get_attribute("data-theme") == "light")
    assert frame.locator("#body-suv").is_checked()


def test_a_site_that_is_not_listed_sees_a_calm_refusal(visit: Callable[..., Visit], stranger_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(stranger_site.show("/plain", host_page(here.base)))

    frame_of(page).get_by_role("heading", name="Not shown on this site").wait_for()
    assert frame_of(page).locator("form, button, input, script").count() == 0
    here.complaints.clear()


def test_a_page_that_claims_another_site_stays_blank(visit: Callable[..., Visit], host_site: Site, stranger_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(stranger_site.show("/liar", f'<iframe src="{here.base}/embed/configure?site={host_site.origin}"></iframe>'))
    page.wait_for_timeout(800)

    inner = next(each for each in page.frames if each != page.main_frame)
    assert inner.locator("form").count() == 0
    assert any("frame-ancestors" in complaint for complaint in here.complaints)
    here.complaints.clear()


@pytest.mark.parametrize("path", ["/staff/login", "/r/nobody", "/"])
def test_what_is_not_for_frames_cannot_be_framed(visit: Callable[..., Visit], host_site: Site, path: str) -> None:
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/framing", f'<iframe src="{here.base}{path}"></iframe>'))
    page.wait_for_timeout(500)

    assert any("frame-ancestors" in complaint for complaint in here.complaints)
    here.complaints.clear()


def test_messages_from_elsewhere_and_of_other_shapes_are_ignored(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/noise", host_page(here.base)))
    wait_ready(page)
    wait_fitted(page)
    before = height(page)

    page.evaluate(
        """for (const data of [null, 7, "size", { protocol: "tuckline", version: 1, type: "size", payload: { height: 9 } },
             { protocol: "tuckline", version: 2, type: "size", payload: { height: 9 } }]) window.postMessage(data, "*");"""
    )
    inner = next(each for each in page.frames if each != page.main_frame)
    inner.evaluate(
        """for (const payload of [{ height: -5 }, { height: "x" }, { height: 1e9 }, null])
             window.parent.postMessage({ protocol: "tuckline", version: 1, type: "size", payload }, "*");
           window.parent.postMessage({ protocol: "tuckline", version: 9, type: "size", payload: { height: 5 } }, "*");"""
    )
    page.wait_for_timeout(200)

    assert height(page) == before
    here.complaints.clear()


def test_without_script_on_the_host_a_link_leads_on(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390, script=False)
    page = here.page
    page.goto(host_site.show("/noscript", host_page(here.base)))

    page.get_by_role("link", name="Plan your film").click()

    assert page.inner_text("h1") == "What are you driving?"


def test_the_demo_shops_own_page_holds_it(visit: Callable[..., Visit]) -> None:
    here = visit(1440)
    page = here.open("/")
    wait_until(lambda: page.locator("tuckline-configurator iframe").count() == 1)
    frame_of(page).get_by_role("heading", name="What are you driving?").wait_for()

    wait_fitted(page)
    here.complaints[:] = [each for each in here.complaints if "can escape its sandboxing" not in each]
