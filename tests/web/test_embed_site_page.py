"""The owner's page about the shop's own site: who may, what it writes out, what it refuses, and how a change arrives."""

import re
from html import unescape
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from configurator.web.embed.loader import current
from configurator.wording.words import words_for
from tests.web.desk_app import Desk, later, make_desk, press
from tests.wording.pseudo import hard_coded, speak_pseudo

SHOP = "https://shop.example"
ALWAYS = "https://always.example"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path, TUCKLINE_EMBED_SITES=ALWAYS, TUCKLINE_PUBLIC_URL="https://film.example")


@pytest.fixture
def ines(desk: Desk) -> FlaskClient:
    return desk.client("ines")


def snippet(page: str) -> str:
    found = re.search(r'<textarea[^>]*id="snippet"[^>]*>(.*?)</textarea>', page, re.DOTALL)
    assert found
    return unescape(found[1])


def framed_by(desk: Desk, site: str) -> str:
    """What a visitor's browser is told on a site."""
    answer = desk.client().get("/embed/configure", query_string={"site": site, "body": "sedan"})
    return answer.headers["Content-Security-Policy"].rpartition("frame-ancestors ")[2] if answer.status_code == 200 else "refused"


def test_a_site_is_let_in_at_once_and_shut_out_again(desk: Desk, ines: FlaskClient) -> None:
    assert framed_by(desk, SHOP) == "refused"

    assert press(ines, "/staff/site", "/staff/site/allow", site="https://Shop.example/").status_code == 303
    page = ines.get("/staff/site").text
    assert "https://shop.example may show the configurator from now on." in page
    assert framed_by(desk, SHOP) == f"'self' {SHOP}"

    assert press(ines, "/staff/site", "/staff/site/remove", origin=SHOP).status_code == 303
    assert framed_by(desk, SHOP) == "refused"
    assert "was not on the list any more" in _after(ines, press(ines, "/staff/site", "/staff/site/remove", origin=SHOP).location)


def test_a_site_that_can_not_be_listed_is_kept_in_its_field_with_the_reason(desk: Desk, ines: FlaskClient) -> None:
    answer = press(ines, "/staff/site", "/staff/site/allow", site="https://*.shop.example")

    assert answer.status_code == 422
    assert 'value="https://*.shop.example"' in answer.text
    assert "A star would also let in pages" in answer.text
    assert 'aria-invalid="true"' in answer.text


def test_a_site_of_the_settings_is_shown_and_can_not_be_taken_off(desk: Desk, ines: FlaskClient) -> None:
    page = ines.get("/staff/site").text
    row = page.partition(ALWAYS)[2].partition("</tr>")[0]

    assert "in the settings of the server" in row
    assert "<form" not in row
    press(ines, "/staff/site", "/staff/site/remove", origin=ALWAYS)
    assert framed_by(desk, ALWAYS) == f"'self' {ALWAYS}"


def test_the_shops_history_says_who_did_it(desk: Desk, ines: FlaskClient) -> None:
    from sqlalchemy import text

    press(ines, "/staff/site", "/staff/site/allow", site=SHOP)

    with desk.wiring.store.engine.connect() as connection:
        who = connection.execute(text("SELECT actor_name, facts FROM events WHERE kind = 'site_allowed'")).one()
    assert who.actor_name == "Ines Tester"
    assert SHOP in str(who.facts)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (ALWAYS, "Yes. https://always.example shows the configurator."),
        ("https://www.always.example", "https://always.example is on it, but to a browser that is another site."),
        (SHOP, "No. https://shop.example is not on the list."),
        ("http://shop.example", "Plain http can be changed by anyone on the way"),
        ("shop.example", "This is not the address of a site."),
        ("https://shop.example/prices", "A site is listed as a whole"),
        ("http://localhost", "Yes. http://localhost shows the configurator."),
    ],
)
def test_the_page_says_whether_a_site_is_let_in_and_why_not(ines: FlaskClient, asked: str, said: str) -> None:
    page = unescape(ines.get("/staff/site", query_string={"test": asked}).text)

    assert said in page
    assert f'value="{asked}"' in page


def test_the_lines_to_paste_hold_what_was_picked(ines: FlaskClient) -> None:
    picked = {"package": "track", "body": "suv", "locale": "de", "theme": "dark", "own_accent": "yes", "accent": "#8A3B12", "radius": "12"}
    lines = snippet(ines.get("/staff/site", query_string={**picked, "font": "serif", "height": "90vh"}).text)

    assert '<script src="https://film.example/embed.js" async></script>' in lines
    given = dict(re.findall(r'(\w+)="([^"]*)"', lines.partition("<tuckline-configurator")[2].partition(">")[0]))
    assert given == {
        "package": "track", "body": "suv", "locale": "de", "theme": "dark", "accent": "#8a3b12", "radius": "12", "font": "serif",
        "height": "90vh",
    }  # fmt: skip
    assert 'href="https://film.example/configure?body=suv&amp;package=track&amp;lang=de"' in lines


def test_the_fixed_version_comes_with_its_integrity(ines: FlaskClient) -> None:
    line = snippet(ines.get("/staff/site?version=fixed").text).splitlines()[0]

    assert f'src="https://film.example/embed-{current().hash}.js"' in line
    assert f'integrity="{current().integrity}" crossorigin="anonymous"' in line


@pytest.mark.parametrize(
    "query",
    [
        {"package": '"><script>', "body": "spaceship", "locale": "xx", "theme": "neon", "font": "'};", "radius": "-4", "height": "100%"},
        {"own_accent": "yes", "accent": "url(x)", "radius": "999", "height": "1"},
        {"accent": "#123456"},
    ],
)
def test_what_can_not_be_used_is_left_out_of_the_lines(ines: FlaskClient, query: dict[str, str]) -> None:
    assert "<tuckline-configurator>" in snippet(ines.get("/staff/site", query_string=query).text)


def test_the_preview_is_framed_by_us_alone_and_holds_the_same_element(desk: Desk, ines: FlaskClient) -> None:
    page = ines.get("/staff/site?package=track&theme=dark").text
    address = unescape(re.search(r'<iframe[^>]*src="([^"]+)"', page)[1])  # type: ignore[index]
    answer = desk.client().get(address)

    assert '<tuckline-configurator package="track" theme="dark">' in answer.text
    assert answer.headers["Content-Security-Policy"].endswith("frame-ancestors 'self'")
    assert re.findall(r"<script(?![^>]*\bsrc=)[^>]*>|\son\w+=|\sstyle=", answer.text) == []
    assert "<script" not in desk.client().get(f"{address.replace('show=page', 'show=plain')}").text


def test_a_site_that_was_turned_away_is_offered_with_a_warning(desk: Desk, ines: FlaskClient) -> None:
    visitor = desk.client()
    for site in ("https://copycat.example", ALWAYS):
        visitor.get("/embed/configure", query_string={"site": site}, headers={"Sec-Fetch-Dest": "iframe"}).close()
    later(desk, minutes=5)
    page = ines.get("/staff/site").text

    away = page.partition("Turned away lately")[2].partition("</ul>")[0]
    assert "https://copycat.example" in away
    assert "5 min ago" in away
    assert "Anybody can make a name appear here" in away
    assert "5 min ago" in page.partition(ALWAYS)[2].partition("</tr>")[0]
    assert "https://copycat.example" not in page.partition('id="sites-title"')[2].partition("</table>")[0]


def test_requests_are_counted_by_site(desk: Desk, ines: FlaskClient) -> None:
    desk.send(source=ALWAYS)
    desk.send()
    page = ines.get("/staff/site").text

    assert re.search(r"<td class=\"dk-number\"[^>]*>1</td>", page.partition(ALWAYS)[2])
    assert "Your own page brought 1 request in the last 30 days." in page


def test_only_the_owner_sees_it(desk: Desk, ines: FlaskClient) -> None:
    assert 'href="/staff/site"' in ines.get("/staff/account").text
    for who in ("robin", "tomas", "jost"):
        client = desk.client(who)
        assert client.get("/staff/site").status_code == 403
        assert 'href="/staff/site"' not in client.get("/staff/account").text


def _after(client: FlaskClient, address: str) -> str:
    return client.get(address.partition("#")[0]).text


def test_every_text_of_it_can_be_translated(desk: Desk, ines: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    """In the make-believe language nothing stands outside marks but code, addresses and the names of the shop and its people."""
    shop = desk.wiring.shop.book
    names = {shop.shop.name, shop.version, "Ines Tester", ALWAYS, "https://film.example", "https://www.example.com", "px"}
    press(ines, "/staff/site", "/staff/site/allow", site=SHOP)
    speak_pseudo(monkeypatch)
    for query in (f"test={SHOP}", f"test={ALWAYS}", "test=nothing", "own_accent=yes&accent=%23ffffff"):
        page = re.sub(r"<textarea.*?</textarea>", "", ines.get(f"/staff/site?{query}").text, flags=re.DOTALL)
        assert hard_coded(page, {*names, SHOP}) == []
    words_for.cache_clear()
