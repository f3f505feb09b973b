"""Every visitor's page by axe-core (WCAG 2.2 A and AA rules, best practices), and what axe can't see: keys, names, sizes, print.

Criteria by number are those of WCAG 2.2 (W3C Recommendation).
"""

import json
from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.conftest import Visit

pytestmark = pytest.mark.browser

PLAN = "body=coupe&package=partial_front&stripes=2,240,110,0,matte,6,gloss&lamp.tail_lamps=smoke_medium&resprayed.roof=2027-03-01"
PAGES = {
    "home": "/",
    "car": f"/configure?step=car&length_mm=4400&{PLAN}",
    "coverage": f"/configure?step=coverage&{PLAN}",
    "finish": f"/configure?step=finish&finish.roof=gloss_black&{PLAN}",
    "lamps": f"/configure?step=lamps&windshield=clear&{PLAN}",
    "edges": f"/configure?step=edges&edges=hidden&{PLAN}",
    "estimate": f"/configure?step=estimate&{PLAN}",
    "send": f"/configure?step=send&{PLAN}",
    "nothing chosen": "/configure?step=estimate&body=coupe",
    "refused": "/configure?body=spaceship",
    "not found": "/nowhere",
    "not listed": "/embed/configure?site=https://elsewhere.example",
}
EXPECTED_STATUS = ("status of 404", "status of 422", "status of 403")


def violations(page: Page) -> list[str]:
    """What axe objects to, one line each."""
    found = Axe().run(page).response["violations"]
    return [f"{each['id']}: {node['html'][:160]}" for each in found for node in each["nodes"]]


def forgive_status(visit: Visit) -> None:
    visit.complaints[:] = [each for each in visit.complaints if not any(status in each for status in EXPECTED_STATUS)]


@pytest.mark.parametrize("name", PAGES)
def test_axe_has_nothing_to_say(visit: Callable[..., Visit], name: str) -> None:
    for width, scheme in ((390, "dark"), (1440, "light")):
        here = visit(width, scheme=scheme)
        page = here.open(PAGES[name])

        assert violations(page) == []

        forgive_status(here)
        if name == "home":
            here.complaints[:] = [each for each in here.complaints if "can escape its sandboxing" not in each]


def test_axe_has_nothing_to_say_without_script_and_with_errors(visit: Callable[..., Visit]) -> None:
    here = visit(390)
    page = here.open(PAGES["send"])
    page.get_by_role("button", name="Send the request").click()
    page.wait_for_url("**/send")

    assert violations(page) == []
    forgive_status(here)


def test_the_drawing_is_one_stop_for_the_keyboard_and_arrows_find_the_next_panel(visit: Callable[..., Visit]) -> None:
    """2.1.1 Keyboard; 4.1.2 Name, Role, Value."""
    here = visit()
    page = here.open("/configure?step=coverage&body=sedan")
    stops = page.locator(".view-top [tabindex='0']")
    assert stops.count() == 1

    stops.first.focus()
    seen = [page.evaluate("document.activeElement.dataset.panel")]
    for _ in range(3):
        page.keyboard.press("ArrowRight")
        seen.append(page.evaluate("document.activeElement.dataset.panel"))
    panel = seen[-1]
    here.change(lambda: page.keyboard.press("Space"))

    assert len(set(seen)) == 4
    assert page.locator(f"#p-{panel}").is_checked()
    assert page.evaluate("document.activeElement.dataset.panel") == panel
    focused = page.locator(f".view-top [data-panel={panel}]")
    assert focused.get_attribute("role") == "checkbox"
    assert focused.get_attribute("aria-checked") == "true"
    assert "m²" in (focused.get_attribute("aria-label") or "")


def test_a_tick_says_the_panels_whole_name_once(visit: Callable[..., Visit]) -> None:
    """2.5.3 Label in Name: what is printed is part of what is said; the empty labels over the drawing add nothing."""
    here = visit()
    page = here.open(PAGES["coverage"])
    session = page.context.new_cdp_session(page)

    names = {}
    for panel in ("hood", "fender_left"):
        found = session.send("Runtime.evaluate", {"expression": f"document.querySelector('#p-{panel}')"})
        tree = session.send("Accessibility.getPartialAXTree", {"objectId": found["result"]["objectId"], "fetchRelatives": False})
        names[panel] = tree["nodes"][0]["name"]["value"]

    assert names == {"hood": "Hood", "fender_left": "Left fender"}


@pytest.mark.parametrize("name", ["car", "coverage", "finish", "lamps", "edges", "estimate", "send"])
def test_nothing_scrolls_sideways_from_320_pixels_up(visit: Callable[..., Visit], name: str) -> None:
    """1.4.10 Reflow: 320 CSS pixels. 1.4.12 Text Spacing: its four values, at 390."""
    here = visit(320)
    page = here.open(PAGES[name])
    for width in (320, 390, 700, 768, 1080, 1440):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width, f"at {width} px"

    page.set_viewport_size({"width": 390, "height": 900})
    page.evaluate(
        """const sheet = new CSSStyleSheet();
        sheet.replaceSync(`* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important }
          p { margin-block-end: 2em !important }`);
        document.adoptedStyleSheets = [sheet]"""
    )
    assert page.evaluate("document.documentElement.scrollWidth") <= 390, "with wider text"


@pytest.mark.parametrize("name", ["car", "coverage", "finish", "lamps", "edges", "estimate", "send"])
def test_targets_are_24_pixels_or_have_an_equal_beside_them(visit: Callable[..., Visit], name: str) -> None:
    """2.5.8 Target Size (Minimum). Links inside sentences and the drawing, whose list holds the same ticks, are the exceptions it names."""
    here = visit(390)
    page = here.open(PAGES[name])

    small = page.evaluate(
        """[...document.querySelectorAll("a, button, input:not([type=hidden]), select, textarea, summary")].filter((element) => {
          const box = (element.closest("label") ?? element).getBoundingClientRect();
          const hidden = !box.width || element.closest(".cfg-honey, .cfg-unseen, .cfg-skip") || element.tabIndex < 0;
          const around = element.parentElement;
          const inText = element.localName === "a" && around.localName === "p" && around.textContent.trim() !== element.textContent.trim();
          return !hidden && !inText && Math.min(box.width, box.height) < 24;
        }).map((element) => element.outerHTML.slice(0, 120))"""
    )

    assert small == []


def test_taps_on_the_drawing_find_the_panel_whose_disc_they_hit(visit: Callable[..., Visit]) -> None:
    """What lies under each disc is the label of its own panel, at every width: a finger aims at the sign."""
    here = visit()
    page = here.open("/configure?step=coverage&body=sedan")
    for width in (390, 768, 1440):
        page.set_viewport_size({"width": width, "height": 900})
        page.wait_for_timeout(100)
        wrong = page.evaluate(
            """[...document.querySelectorAll(".cfg-zones [data-panel][role=checkbox]")].flatMap((panel) => {
              const disc = panel.querySelector(".disc");
              if (!disc) return [];
              disc.scrollIntoView({ block: "center" });
              const box = disc.getBoundingClientRect();
              const hit = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
              if (hit?.dataset.panelTap === panel.dataset.panel) return [];
              return [panel.dataset.panel + " -> " + (hit?.dataset.panelTap ?? hit?.className)];
            })"""
        )
        assert wrong == [], f"at {width} px"


def test_states_survive_forced_colours(visit: Callable[..., Visit]) -> None:
    """1.4.11 Non-text Contrast under a system's own colours: ticks are the platform's, chosen cards have an outline, film a hatch."""
    here = visit(forced_colors="active")
    page = here.open(PAGES["coverage"])

    assert page.locator("#p-front_bumper").evaluate("element => getComputedStyle(element).appearance") == "auto"
    assert page.locator(".cfg-card:has(:checked)").first.evaluate("element => getComputedStyle(element).outlineStyle") == "solid"


def test_print_leaves_out_what_only_a_screen_can_use(visit: Callable[..., Visit]) -> None:
    here = visit()
    page = here.open(PAGES["estimate"])
    page.emulate_media(media="print")

    for unused in (".cfg-steps", ".cfg-bar", ".cfg-job__go", ".cfg-tools"):
        assert page.locator(unused).first.is_hidden(), unused
    assert page.locator(".cfg-table").first.is_visible()


def test_moving_parts_rest_for_those_who_ask(visit: Callable[..., Visit]) -> None:
    here = visit(reduced_motion="reduce")
    page = here.open(PAGES["coverage"])

    longest = page.evaluate(
        """Math.max(0, ...[...document.querySelectorAll("*")].flatMap(
          (each) => getComputedStyle(each).transitionDuration.split(",").map(parseFloat)))"""
    )
    assert longest == 0


def test_the_page_reads_from_right_to_left_without_breaking(visit: Callable[..., Visit]) -> None:
    here = visit(390)
    page = here.open(PAGES["coverage"])

    page.evaluate("document.documentElement.dir = 'rtl'")

    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    first, second = (page.locator(".cfg-steps__item").nth(place).bounding_box() for place in (0, 1))
    assert first is not None
    assert second is not None
    assert first["x"] > second["x"]


def test_the_estimate_for_a_host_page_is_plain_json(visit: Callable[..., Visit]) -> None:
    here = visit()
    page = here.open(PAGES["coverage"])

    figures = json.loads(page.locator("[data-estimate]").first.get_attribute("data-estimate") or "")

    assert float(figures["low"]) <= float(figures["typical"]) <= float(figures["high"])
