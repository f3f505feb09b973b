"""Strange hosts: whatever a shop's page is made of, the configurator fits, keeps its price in view and leaves the page as it is."""

from collections.abc import Callable

import pytest

from tests.browser.conftest import Site, Visit, wait_until
from tests.browser.embedding import (
    TAG,
    content_height,
    element,
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

LONG = '<p style="height:700px">A long story first.</p>'
HOSTILE = f"""<style>* {{ all: revert; margin: 3px; font: 60px cursive !important; letter-spacing: 9px }}
iframe {{ width: 0; height: 0; display: none; opacity: 0 !important }} html {{ font-size: 60px; color-scheme: dark }}
{TAG} {{ display: none !important; width: 3px !important; float: right; position: fixed !important; opacity: 0; transform: rotate(9deg) }}
section, div, i {{ display: none !important }}</style>"""


def bar_in_view(page: object, high: int = 900) -> bool:
    top, bottom = seen_of(page, ".cfg-bar")  # type: ignore[arg-type]
    return top >= -1 and bottom <= high + 1


def test_hostile_styles_do_not_reach_it(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/hostile", host_page(here.base, head=HOSTILE)))
    wait_settled(page)

    box = page.locator(f"{TAG} iframe").bounding_box()
    assert box is not None
    assert box["width"] > 900
    assert frame_of(page).locator("h1").evaluate("element => getComputedStyle(element).fontSize") == "32px"
    shown = "(element, names) => names.map((name) => getComputedStyle(element)[name])"
    assert page.locator(TAG).evaluate(shown, ["opacity", "transform", "position", "float"]) == ["1", "none", "relative", "none"]


def test_a_strict_policy_only_has_to_name_our_origin(visit: Callable[..., Visit], host_site: Site) -> None:
    """Trusted Types and all: the two lines that the staff's page gives are enough."""
    here = visit(1200)
    page = here.page
    policy = (
        f"default-src 'none'; script-src {here.base} 'nonce-x'; frame-src {here.base}; base-uri 'none'; require-trusted-types-for 'script'"
    )
    html = host_page(here.base).replace("<script>", '<script nonce="x">')
    page.goto(host_site.show("/strict", html, Content_Security_Policy=policy))
    wait_settled(page)

    assert height(page) > 800


def test_a_page_that_isolates_itself_may_hold_it(visit: Callable[..., Visit], host_site: Site) -> None:
    """Cross-origin isolation (HTML standard) keeps out frames that don't agree to it."""
    here = visit(1200)
    page = here.page
    headers = {"Cross_Origin_Embedder_Policy": "require-corp", "Cross_Origin_Opener_Policy": "same-origin"}
    page.goto(host_site.show("/isolated", host_page(here.base), **headers))
    wait_settled(page)


def test_an_app_may_put_it_up_and_take_it_down(visit: Callable[..., Visit], host_site: Site) -> None:
    """And what the visitor picked is still there; a second copy of the script does no harm."""
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/app", host_page(here.base)))
    wait_settled(page)
    frame = frame_of(page)
    frame.locator("#body-van").check()
    wait_until(lambda: "body=van" in (frame.locator("cfg-plan").get_attribute("data-address") or ""))
    wait_until(lambda: len(heard(page, "estimate")) > 1)

    page.evaluate(f"window.element = document.querySelector('{TAG}'); window.element.remove()")
    page.wait_for_timeout(100)
    page.evaluate("document.body.append(window.element)")
    wait_ready(page, 2)
    page.evaluate(
        """const script = document.createElement("script");
        script.src = document.querySelector("script[src]").src;
        document.head.append(script)"""
    )

    wait_fitted(page)
    assert page.locator(f"{TAG} iframe").count() == 1
    assert frame_of(page).locator("#body-van").is_checked()


def test_an_app_may_make_it_before_and_after_the_script_is_there(visit: Callable[..., Visit], host_site: Site) -> None:
    """As frameworks do: created, given attributes, moved; never in the page's own markup."""
    here = visit(1200)
    page = here.page
    page.goto(host_site.show("/made", host_page(here.base, body='<div id="room"></div><div id="hall"></div>')))
    page.evaluate(
        f"""const made = document.createElement("{TAG}");
        made.setAttribute("body", "suv"); made.setAttribute("locale", "de");
        document.getElementById("room").append(made);
        document.getElementById("hall").append(made);"""
    )
    wait_until(lambda: bool(heard(page, "ready")))
    wait_fitted(page)

    assert frame_of(page).locator("#body-suv").is_checked()
    heading = frame_of(page).locator("h1").inner_text()
    assert frame_of(page).locator("html").get_attribute("lang") == "de"
    assert heading in (page.locator(f"{TAG} iframe").get_attribute("title") or "")
    here.complaints[:] = [each for each in here.complaints if not each.startswith("failed: ")]  # the frame that was moved away


def test_a_plain_box_stands_in_where_a_site_builder_lets_no_element_through(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    box = f'<div data-tuckline data-body="van" data-package="track"><a href="{here.base}/configure">Plan your film</a></div>'
    page.goto(host_site.show("/boxed", host_page(here.base, body=box)))
    wait_settled(page)

    assert frame_of(page).locator("#body-van").is_checked()
    assert page.locator(TAG).count() == 1
    assert page.locator(f"{TAG} iframe").get_attribute("title") == "Plan your film"


def test_a_tool_that_joins_scripts_hides_where_it_came_from(visit: Callable[..., Visit], host_site: Site) -> None:
    """Then the element's link tells; the script may also be a module, or come from the page's own site."""
    here = visit(1200)
    page = here.page
    text = page.request.get(f"{here.base}/embed.js").text()
    host_site.show("/joined.js", text, Content_Type="text/javascript")
    html = host_page(here.base).replace(f'src="{here.base}/embed.js" async', 'src="/joined.js" type="module"')
    page.goto(host_site.show("/joined", html))

    wait_settled(page)


def test_an_element_that_can_not_tell_where_it_is_from_keeps_what_is_in_it(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    host_site.show("/joined.js", page.request.get(f"{here.base}/embed.js").text(), Content_Type="text/javascript")
    html = host_page(here.base, body=f"<{TAG}>Ask us.</{TAG}>").replace(f'src="{here.base}/embed.js" async', 'src="/joined.js" defer')
    page.goto(host_site.show("/lost", html))

    wait_complaint(here, "it can't tell where it was loaded from")
    assert page.get_by_text("Ask us.").is_visible()
    assert heard(page, "error") == [{"code": "no_home"}]
    here.complaints.clear()


def test_two_of_them_keep_apart(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(1200)
    page = here.page
    second = f'<{TAG} id="two" package="track" body="suv"><a href="{here.base}/configure">Plan another</a></{TAG}>'
    page.goto(host_site.show("/two", host_page(here.base, before=second)))
    wait_ready(page, 2)
    two, one = page.frame_locator("#two iframe"), page.frame_locator(f"{TAG}:not(#two) iframe")

    assert two.locator("#body-suv").is_checked()
    assert one.locator("#body-sedan").is_checked()
    one.locator("#body-van").check()
    wait_until(lambda: "body=van" in (one.locator("cfg-plan").get_attribute("data-address") or ""))
    assert two.locator("#body-suv").is_checked()
    sources = page.evaluate(
        f"[...document.querySelectorAll('{TAG}')].map((each) => each.shadowRoot.querySelector('iframe').offsetHeight > 900)"
    )
    assert sources == [True, True]


def test_it_is_at_home_on_a_page_that_reads_from_right_to_left(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/rtl", host_page(here.base, html='lang="ar" dir="rtl"', before=LONG)))
    wait_settled(page)

    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.evaluate("scrollTo(0, 1200)")
    wait_until(lambda: bar_in_view(page))


def test_smooth_scrolling_is_not_waited_for(visit: Callable[..., Visit], host_site: Site) -> None:
    """A step brings its top into view at once; a smooth ride would carry the visitor past taps that no longer fit."""
    here = visit(390)
    page = here.page
    style = "<style>html { scroll-behavior: smooth; scroll-padding-top: 64px } header { position: sticky; top: 0; height: 64px }</style>"
    page.goto(host_site.show("/smooth", host_page(here.base, head=style, before=f"<header>Shop</header>{LONG}")))
    wait_settled(page)
    page.evaluate("scrollTo({ top: 1900, behavior: 'instant' })")
    wait_until(lambda: bar_in_view(page))

    next_step(page, "What should be covered?")

    wait_until(lambda: abs(page.locator(TAG).evaluate("element => element.getBoundingClientRect().top") - 64) < 2)


@pytest.mark.parametrize(
    "box",
    [
        "height: 500px; overflow: auto",
        "height: 500px; overflow: auto; transform: translateX(4px)",
        "position: fixed; inset: 150px 0 auto; height: 500px; overflow-y: scroll; background: white",
    ],
    ids=["scrolling", "scrolling and transformed", "a dialog"],
)
def test_in_a_box_with_its_own_scroll_the_price_stays_in_that_box(visit: Callable[..., Visit], host_site: Site, box: str) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/box", host_page(here.base, body=f'<div id="box" style="{box}">{LONG}{element(here.base)}</div>')))
    page.evaluate("document.getElementById('box').scrollTo(0, 600)")
    wait_settled(page)

    for down in (900, 1700):
        page.evaluate(f"document.getElementById('box').scrollTo(0, {down})")

        def at_its_foot() -> bool:
            foot = page.locator("#box").evaluate("element => element.getBoundingClientRect().bottom")
            return abs(seen_of(page, ".cfg-bar")[1] - foot) <= 2

        wait_until(at_its_foot)

    next_step(page, "What should be covered?")
    below = f"document.querySelector('{TAG}').getBoundingClientRect().top - document.getElementById('box').getBoundingClientRect().top"
    wait_until(lambda: abs(page.evaluate(below)) <= 2)


def test_on_a_page_that_is_scaled_the_price_is_placed_in_the_frames_own_pixels(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    body = f'<div style="transform: scale(.8); transform-origin: 0 0">{element(here.base)}</div>'
    page.goto(host_site.show("/scaled", host_page(here.base, body=body)))
    wait_settled(page)
    page.evaluate("scrollTo(0, 700)")

    wait_until(lambda: abs(seen_of(page, ".cfg-bar")[1] - 900) <= 3)


def test_in_a_page_within_a_page_the_visible_part_is_the_outer_windows(visit: Callable[..., Visit], host_site: Site) -> None:
    """Site builders put what they embed into a frame of their own, as high as its content."""
    here = visit(390)
    page = here.page
    inner = host_site.show("/nested-inner", host_page(here.base))
    outer = f'<!doctype html><title>Outer</title>{LONG}<iframe src="{inner}" style="width:100%;height:3600px;border:0"></iframe>'
    page.goto(host_site.show("/nested", outer))
    host = next(each for each in page.frames if each.url == inner)
    wait_until(lambda: bool(host.evaluate("window.heard.some(([name]) => name === 'step')")))
    bar = host.frame_locator(f"{TAG} iframe").locator(".cfg-bar")
    for down in (500, 900, 1500):
        page.evaluate(f"scrollTo(0, {down})")

        def at_the_windows_foot() -> bool:
            box = bar.bounding_box()
            return box is not None and abs(box["y"] + box["height"] - 900) <= 40

        wait_until(at_the_windows_foot)


def test_inside_another_components_shadow_it_works_and_its_events_come_out(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    inside = f"<style>iframe {{ height: 3px }}</style><div>{element(here.base)}</div>"
    component = f"""<shop-card></shop-card><script>customElements.define("shop-card", class extends HTMLElement {{
      connectedCallback() {{ this.attachShadow({{ mode: "open" }}).innerHTML = `{inside}`; }} }});</script>"""
    page.goto(host_site.show("/shadow", host_page(here.base, before=LONG, body=component)))
    wait_settled(page)
    page.evaluate("scrollTo(0, 1300)")

    wait_until(lambda: bar_in_view(page))


def test_far_down_the_page_it_loads_when_it_comes_near(visit: Callable[..., Visit], host_site: Site) -> None:
    """Not before, and without giving up meanwhile."""
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/far", host_page(here.base, before='<p style="height:9000px">Long.</p>')))
    page.wait_for_timeout(4600)
    assert heard(page, "ready") == []
    assert heard(page, "error") == []
    assert page.get_by_role("link", name="Plan your film").is_hidden()

    page.evaluate(f"document.querySelector('{TAG}').scrollIntoView()")

    wait_settled(page)


def test_behind_a_closed_tab_it_waits_and_shows_when_it_is_opened(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    page.goto(host_site.show("/tabs", host_page(here.base, body=f'<div id="tab" style="display:none">{element(here.base)}</div>')))
    page.wait_for_timeout(4600)
    assert heard(page, "error") == []

    page.evaluate("document.getElementById('tab').style.display = 'block'")
    wait_settled(page)
    page.evaluate("document.getElementById('tab').style.display = 'none'")
    page.wait_for_timeout(200)
    page.evaluate("document.getElementById('tab').style.display = 'block'")
    wait_fitted(page)

    assert content_height(page) > 900


@pytest.mark.parametrize(
    "around",
    [
        '<div style="display:flex">{}<aside>Beside</aside></div>',
        '<div style="display:grid;grid-template-columns:1fr auto">{}<aside>Beside</aside></div>',
        '<table><tr><td>{}</td></tr></table>',
        '<div style="display:inline-block">{}</div>',
        '<div style="columns:1;width:280px">{}</div>',
        '<details open><summary>Plan</summary>{}</details>',
        '<div style="content-visibility:auto">{}</div>',
        '<p>{}',
    ],
)  # fmt: skip
def test_in_any_layout_it_has_a_width_and_its_height(visit: Callable[..., Visit], host_site: Site, around: str) -> None:
    here = visit(800)
    page = here.page
    page.goto(host_site.show("/layout", host_page(here.base, body=around.format(element(here.base)))))
    wait_settled(page)

    assert page.locator(f"{TAG} iframe").evaluate("element => element.offsetWidth") >= 270


def test_a_page_in_quirks_mode_with_a_base_address_holds_it(visit: Callable[..., Visit], host_site: Site) -> None:
    here = visit(390)
    page = here.page
    html = host_page(here.base, head='<base href="https://elsewhere.example/deep/">', before=LONG).removeprefix("<!doctype html>")
    page.goto(host_site.show("/quirks", html))
    wait_settled(page)
    page.evaluate("scrollTo(0, 1300)")

    wait_until(lambda: bar_in_view(page))


def test_the_demo_shops_own_page_holds_it(visit: Callable[..., Visit]) -> None:
    here = visit(1440)
    page = here.open("/")
    wait_until(lambda: page.locator(f"{TAG} iframe").count() == 1)
    frame_of(page).get_by_role("heading", name="What are you driving?").wait_for()

    wait_fitted(page)
    here.complaints[:] = [each for each in here.complaints if "can escape its sandboxing" not in each]
