"""Pages that hold the configurator, and how a test waits until one has come to rest.

A frame swaps its page at every step and its host scrolls with it. A key or a tap between the two goes astray, so every test first
waits until the page has run its script, has its height, and nothing moved between two looks.
"""

from playwright.sync_api import FrameLocator, Page

from tests.browser.conftest import Visit, wait_until

TAG = "tuckline-configurator"
HEARD = ("ready", "step", "estimate", "submitted", "error")
LISTEN = f"""window.heard = [];
for (const name of {list(HEARD)})
  document.addEventListener("tuckline:" + name, (event) => window.heard.push([name, event.detail]));"""


def element(base: str, attributes: str = "") -> str:
    """The element with its link."""
    return f'<{TAG} package="full_front" body="sedan" {attributes}><a href="{base}/configure">Plan your film</a></{TAG}>'


def host_page(
    base: str, *, head: str = "", before: str = "", body: str | None = None, attributes: str = "", html: str = 'lang="en"', after: str = ""
) -> str:
    """A page as a shop's web person would write it; `body` stands in place of the element."""
    return f"""<!doctype html><html {html}><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>A shop</title>{head}<script>{LISTEN}</script><script src="{base}/embed.js" async></script></head><body>
<h1>A shop's own page</h1>{before}
{element(base, attributes) if body is None else body}
<p id="after">What comes after</p>{after}</body></html>"""


def frame_of(page: Page, within: str = "") -> FrameLocator:
    """The (first) configurator's frame."""
    return page.frame_locator(f"{within} {TAG} iframe").first


def heard(page: Page, name: str) -> list[dict[str, object]]:
    """Details of the events of one kind so far."""
    return [detail for said, detail in page.evaluate("window.heard") if said == name]


def wait_complaint(visit: Visit, part: str) -> None:
    """The browser's console says something; looking at the page lets what was said arrive."""
    wait_until(lambda: bool(visit.page.evaluate("true")) and any(part in complaint for complaint in visit.complaints))


def height(page: Page) -> float:
    """Of the frame, as the host page lays it out."""
    return float(page.locator(f"{TAG} iframe").first.evaluate("element => element.offsetHeight"))


def content_height(page: Page, within: str = "") -> float:
    return float(frame_of(page, within).locator("cfg-frame").evaluate("element => Math.ceil(element.getBoundingClientRect().height)"))


def wait_ready(page: Page, count: int = 1) -> None:
    wait_until(lambda: len(heard(page, "ready")) >= count)


def wait_fitted(page: Page) -> None:
    """The frame is as high as its content, at two looks in a row."""
    looks: list[float] = []

    def rests() -> bool:
        looks.append(height(page))
        page.wait_for_timeout(60)
        return len(looks) > 1 and looks[-1] == looks[-2] and abs(looks[-1] - content_height(page)) <= 1

    wait_until(rests)


def wait_settled(page: Page, pages: int = 1) -> None:
    """The frame's `pages`-th page has run its script and got its height."""
    wait_until(lambda: len(heard(page, "step")) >= pages)
    wait_fitted(page)


def next_step(page: Page, heading: str) -> None:
    """Goes on by the bar's button, with the keyboard, and waits for the page that follows."""
    pages = len(heard(page, "step"))
    frame = frame_of(page)
    frame.locator(".cfg-bar").wait_for()
    frame.locator(".cfg-bar button:not(.cfg-update)").press("Enter")
    frame.get_by_role("heading", name=heading, level=1).wait_for()
    wait_settled(page, pages + 1)


def seen_of(page: Page, selector: str) -> tuple[float, float]:
    """Where something in the frame stands in the window that the visitor sees: top and bottom, in its pixels."""
    top, scale = page.locator(f"{TAG} iframe").first.evaluate(
        "element => { const box = element.getBoundingClientRect(); return [box.top, box.height / element.offsetHeight] }"
    )
    place = "element => { const box = element.getBoundingClientRect(); return [box.top, box.bottom] }"
    first, last = frame_of(page).locator(selector).evaluate(place)
    return top + first * scale, top + last * scale
