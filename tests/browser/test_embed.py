"""The configurator in another site's page: its height, its events, its price in view, the whole journey without cookie or storage."""

from collections.abc import Callable
from pathlib import Path

import pytest

from configurator.web.embed import loader
from tests.browser.conftest import Site, Visit, wait_until
from tests.browser.embedding import (
    content_height,
    frame_of,
    heard,
    height,
    host_page,
    next_step,
    seen_of,
    wait_complaint,
    wait_fitted,
    wait_ready,
    wait_settled,
)  # fmt: skip

pytestmark = pytest.mark.browser

HEADINGS = (
    "What should be covered?", "How should it look?", "Lamps and glass", "How should the edges end?", "Your estimate",
    "Send it to the shop",
)  # fmt: skip


def test_a_listed_site_shows_it_at_its_full_height_and_hears_of_the_estimate(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/plain", host_page(here.base)))
    wait_settled(page)

    assert frame_of(page).locator("h1").inner_text() == "What are you driving?"
    assert page.locator("tuckline-configurator iframe").get_attribute("title") == "Plan your film"
    assert page.locator("tuckline-configurator a").is_hidden()
    wait_until(lambda: bool(heard(page, "estimate")))
    first = heard(page, "estimate")[0]
    assert set(first) == {"currency", "low", "typical", "high", "days_off_road"}

    frame_of(page).locator("#paint_condition").select_option("chipped")
    wait_until(lambda: heard(page, "estimate")[-1] != first)
    assert heard(page, "ready") == [{"step": "car"}]
    assert heard(page, "step") == [{"step": "car"}]
    assert heard(page, "error") == []


def test_the_whole_journey_in_a_frame_needs_no_cookie_and_no_storage(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/journey", host_page(here.base)))
    wait_settled(page)
    frame = frame_of(page)
    for heading in HEADINGS:
        next_step(page, heading)
    frame.locator("#name").fill("Mara Quill")
    frame.locator("#email").fill("mara@quill.example")
    page.wait_for_timeout(2100)

    frame.get_by_role("button", name="Send the request").press("Enter")

    wait_until(lambda: bool(heard(page, "submitted")))
    assert list(heard(page, "submitted")[0]) == ["reference"]
    assert [each["step"] for each in heard(page, "step")] == ["car", "coverage", "finish", "lamps", "edges", "estimate", "send", "sent"]
    assert here.page.context.cookies() == []
    link = frame.get_by_role("link", name="private page")
    assert link.get_attribute("target") == "_blank"
    assert "/r/" in (link.get_attribute("href") or "")
    wait_fitted(page)
    assert height(page) < 900
    inner = next(each for each in page.frames if each != page.main_frame)
    assert inner.evaluate("(() => { try { return localStorage.length + sessionStorage.length } catch { return 0 } })()") == 0


@pytest.mark.parametrize(("width", "box"), [(390, ".cfg-bar"), (1200, ".cfg-job")])
def test_the_price_stays_in_the_strip_that_can_be_seen(visit: Callable[..., Visit], host_site: Site, width: int, box: str) -> None:
    here = visit(width)
    page = here.page
    page.goto(host_site.show("/long", host_page(here.base, before='<p style="height:700px">A long story first.</p>')))
    page.evaluate("scrollTo(0, 500)")
    wait_settled(page)

    for down in (900, 1500, 2100):
        page.evaluate(f"scrollTo(0, {down})")
        wait_until(lambda: _shows(*seen_of(page, box), 900, foot=box == ".cfg-bar"))


def _shows(top: float, bottom: float, window: int, *, foot: bool) -> bool:
    """At the foot of the window, or near its head."""
    return abs(bottom - window) <= 2 if foot else 0 <= top <= 40


def test_scrolling_past_the_frame_leaves_the_bar_at_its_end(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/past", host_page(here.base, after='<p style="height:2000px">More.</p>')))
    wait_settled(page)
    page.evaluate("document.querySelector('tuckline-configurator').scrollIntoView({ block: 'end' }); scrollBy(0, 300)")

    wait_until(lambda: abs(seen_of(page, ".cfg-bar")[1] - seen_of(page, "cfg-frame")[1]) <= 1)


def test_a_step_inside_the_frame_brings_its_top_into_view(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/steps", host_page(here.base)))
    wait_settled(page)
    page.evaluate("scrollTo(0, 1200)")
    wait_until(lambda: _shows(*seen_of(page, ".cfg-bar"), 900, foot=True))

    next_step(page, HEADINGS[0])

    wait_until(lambda: abs(page.locator("tuckline-configurator").evaluate("element => element.getBoundingClientRect().top")) < 2)


def test_loading_moves_neither_the_page_nor_the_focus(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    before = '<p><input id="first" autofocus></p><p style="height:300px">Something first.</p>'
    page.goto(host_site.show("/still", host_page(here.base, before=before)))
    page.evaluate(
        "window.jumps = 0; addEventListener('scroll', () => window.jumps++); window.shift = 0;"
        "new PerformanceObserver((list) => list.getEntries().forEach((entry) => window.shift += entry.value))"
        ".observe({ type: 'layout-shift', buffered: true })"
    )
    wait_settled(page)
    page.wait_for_timeout(300)

    assert page.evaluate("document.activeElement.id") == "first"
    assert page.evaluate("[scrollY, window.jumps]") == [0, 0]
    assert page.evaluate("window.shift") < 0.02


def test_the_keyboard_goes_in_where_the_element_stands_and_out_again(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    before, after = '<p><button id="before">Before</button></p>', '<p><button id="behind">Behind</button></p>'
    page.goto(host_site.show("/keys", host_page(here.base, before=before, after=after)))
    wait_settled(page)
    page.focus("#before")
    page.keyboard.press("Tab")

    inner = next(each for each in page.frames if each != page.main_frame)
    wait_until(lambda: bool(inner.evaluate("document.hasFocus() && document.activeElement !== document.body")))
    page.focus("#behind")
    page.keyboard.press("Shift+Tab")
    wait_until(lambda: bool(inner.evaluate("document.hasFocus()")))
    assert page.evaluate("document.activeElement.localName") == "tuckline-configurator"


def test_the_height_comes_to_rest(visit: Callable[..., Visit], host_site: Site) -> None:
    """No loop: once it fits, nothing is resized any more, not even while the window changes and comes back."""
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/rest", host_page(here.base)))
    wait_settled(page)
    for width in (700, 1280, 390):
        page.set_viewport_size({"width": width, "height": 900})
        wait_fitted(page)
    page.evaluate(
        "window.resizes = -1; new ResizeObserver(() => window.resizes++)"
        ".observe(document.querySelector('tuckline-configurator').shadowRoot.querySelector('iframe'))"
    )
    page.wait_for_timeout(700)

    assert page.evaluate("window.resizes") == 0


@pytest.mark.parametrize(("given", "high"), [("640", 640), ("640px", 640), ("50vh", 450)])
def test_a_fixed_height_has_its_own_scroll(visit: Callable[..., Visit], host_site: Site, given: str, high: int) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/fixed", host_page(here.base, attributes=f'height="{given}"')))
    wait_ready(page)
    frame_of(page).locator("cfg-plan").wait_for()

    assert height(page) == high
    assert frame_of(page).locator(".cfg-bar").evaluate("element => getComputedStyle(element).position") == "fixed"
    assert content_height(page) > high


@pytest.mark.parametrize("given", ["100%", "auto", "0", "5", "tall", "-640"])
def test_a_height_that_can_not_be_is_as_good_as_none(visit: Callable[..., Visit], host_site: Site, given: str) -> None:
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/odd", host_page(here.base, attributes=f'height="{given}"')))

    wait_settled(page)


def test_attributes_set_language_theme_and_accent_and_may_change(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    attributes = 'locale="de" theme="dark" accent="#b00020" radius="12" font="serif"'
    page.goto(host_site.show("/look", host_page(here.base, attributes=attributes)))
    wait_settled(page)
    frame = frame_of(page)

    assert frame.locator("html").get_attribute("lang") == "de"
    assert frame.locator("html").get_attribute("data-theme") == "dark"
    assert frame.locator("html").evaluate("element => getComputedStyle(element).getPropertyValue('--radius')") == "12px"

    frame.locator("#body-suv").check()
    wait_until(lambda: "body=suv" in (frame.locator("cfg-plan").get_attribute("data-address") or ""))
    page.evaluate("document.querySelector('tuckline-configurator').setAttribute('theme', 'light')")

    wait_until(lambda: frame.locator("html").get_attribute("data-theme") == "light")
    assert frame.locator("#body-suv").is_checked()


def test_messages_from_elsewhere_and_of_other_shapes_are_ignored(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/noise", host_page(here.base)))
    wait_settled(page)
    before, said = height(page), page.evaluate("window.heard.length")

    page.evaluate(
        """for (const data of [null, 7, "size", { protocol: "tuckline", version: 1, type: "size", payload: { height: 9 } },
             { protocol: "tuckline", version: 2, type: "size", payload: { height: 9 } },
             { protocol: "tuckline", version: 1, type: "submitted", payload: { reference: "X" } }]) window.postMessage(data, "*");"""
    )
    inner = next(each for each in page.frames if each != page.main_frame)
    inner.evaluate(
        """for (const payload of [{ height: -5 }, { height: "x" }, { height: 1e9 }, null])
             window.parent.postMessage({ protocol: "tuckline", version: 1, type: "size", payload }, "*");
           window.parent.postMessage({ protocol: "tuckline", version: 9, type: "size", payload: { height: 5 } }, "*");
           window.parent.postMessage({ protocol: "tuckline", version: 1, type: "unheard-of", payload: {} }, "*");
           window.parent.postMessage({ protocol: "tuckline", version: 1, type: "at", payload: { address: "//evil.example/" } }, "*");"""
    )
    page.wait_for_timeout(200)

    assert height(page) == before
    assert page.evaluate("window.heard.length") == said


def test_the_frame_hears_only_the_page_that_it_was_made_for(visit: Callable[..., Visit], host_site: Site) -> None:
    """A frame within the frame's window, or the page itself under a wrong version, moves nothing and changes no look."""
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/deaf", host_page(here.base)))
    wait_settled(page)
    inner = next(each for each in page.frames if each != page.main_frame)
    address = inner.url
    inner.evaluate(
        """for (const type of ["look", "strip"])
             window.postMessage({ protocol: "tuckline", version: 1, type, payload: { theme: "dark", top: 5, bottom: 9 } }, "*");"""
    )
    page.evaluate(
        """document.querySelector("tuckline-configurator").shadowRoot.querySelector("iframe").contentWindow
             .postMessage({ protocol: "tuckline", version: 8, type: "look", payload: { theme: "dark" } }, "*")"""
    )
    page.wait_for_timeout(300)

    assert inner.url == address
    assert frame_of(page).locator("html").get_attribute("data-theme") is None


def test_it_leaves_no_trace_but_the_element(visit: Callable[..., Visit], host_site: Site) -> None:
    """No global, no attribute, no style, nothing in storage: compared with the same page without the script."""
    look = """() => ({
      globals: Object.getOwnPropertyNames(window).filter((name) => name !== "heard").sort(),
      styles: document.styleSheets.length,
      sheets: document.adoptedStyleSheets.length,
      html: [...document.documentElement.attributes].map((each) => each.name),
      children: [document.head.children.length, document.body.children.length],
      stored: localStorage.length + sessionStorage.length,
    })"""
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/bare", host_page(here.base).replace(f'src="{here.base}/embed.js"', 'type="text/plain"')))
    before = page.evaluate(look)
    page.goto(host_site.show("/used", host_page(here.base)))
    wait_settled(page)
    after = page.evaluate(look)
    after["globals"] = [name for name in after["globals"] if name != "0"]
    before["globals"] = [name for name in before["globals"] if name != "0"]

    assert after == before


@pytest.mark.parametrize("kept", sorted((loader.FOLDER / "kept").glob("*.js")), ids=lambda path: path.stem)
def test_every_loader_that_was_ever_given_out_still_works(visit: Callable[..., Visit], host_site: Site, kept: Path) -> None:
    """Pages name it by its hash, with its integrity, for years; the frame of today still answers it."""
    here = visit(390)
    page = here.page
    given_out = loader.Loader(kept.read_bytes())
    line = f'src="{here.base}/embed-{kept.stem}.js" integrity="{given_out.integrity}" crossorigin="anonymous"'
    page.goto(host_site.show("/kept", host_page(here.base).replace(f'src="{here.base}/embed.js"', line)))
    wait_ready(page)
    wait_fitted(page)
    page.evaluate("scrollTo(0, 600)")
    wait_until(lambda: _shows(*seen_of(page, ".cfg-bar"), 900, foot=True))
    wait_until(lambda: bool(heard(page, "estimate")))


def test_a_changed_loader_is_refused_by_its_integrity(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    line = f'src="{here.base}{loader.current().path}" integrity="sha384-{"A" * 64}" crossorigin="anonymous"'
    page.goto(host_site.show("/changed", host_page(here.base).replace(f'src="{here.base}/embed.js"', line)))

    wait_complaint(here, "integrity")
    assert page.get_by_role("link", name="Plan your film").is_visible()
    here.complaints.clear()
