"""The visitor's pages as a program sees them: addresses, statuses, headers, what a page holds, and what it never does."""

import gzip
import re
from collections import Counter
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from configurator.settings import read_settings
from configurator.storage.migrate import upgrade
from configurator.web.factory import create_app
from configurator.web.wiring import Wiring
from tests.services.conftest import Clock
from tests.shops import demo_shop

STEPS = ("car", "coverage", "finish", "lamps", "edges", "estimate", "send")
LISTED = "https://film.example"
FULL = (
    "body=coupe&length_mm=4400&package=partial_front&add=rocker_left&remove=hood&finish=matte&finish.roof=gloss_black&edges=hidden"
    "&lamp.tail_lamps=smoke_medium&windshield=clear&region=us&drop_off=2027-03-08&stripes=2,240,110,0,matte,6,gloss&resprayed.roof=2027-03-01"
)


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    folder: Path = tmp_path_factory.mktemp("pages")
    environment = {
        "TUCKLINE_SECRET_KEY": "s" * 40,
        "DATABASE_URL": f"sqlite:///{folder}/shop.db",
        "TUCKLINE_DATA_DIR": str(folder),
        "TUCKLINE_EMBED_SITES": LISTED,
        "TUCKLINE_RATE_ESTIMATES": "100000/minute",
        "TUCKLINE_RATE_REQUESTS": "1000/hour",
    }
    wiring = Wiring(read_settings(environment), clock=Clock())
    wiring.__dict__["shop"] = demo_shop()
    upgrade(wiring.store.engine)
    return create_app(wiring.settings, wiring=wiring)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


KEYS = [
    "body",
    "step",
    "length_mm",
    "length_in",
    "add",
    "remove",
    "finish.hood",
    "lamp.fog_lamps",
    "stripes",
    "drop_off",
    "package",
    "feature",
    "coated",
    "region",
    "edges",
    "resprayed.roof",
    "lang",
    "theme",
    "accent",
    "unit",
    "site",
    "go",
    "f.form",
    "f.panel",
    "f.ticked",
    "f.package",
    "f.size",
    "f.length",
    "f.made_of.hood",
    "f.own_panel",
    "f.stripe_shape",
    "f.respray_panel_0",
]


class Ids(HTMLParser):
    """Ids of a page, and the ids that labels, links and descriptions point to."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.wanted: set[str] = set()
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if given.get("id"):
            self.ids.append(given["id"] or "")
        for name in ("for", "aria-labelledby", "aria-describedby"):
            self.wanted.update((given.get(name) or "").split())
        if tag == "use" or (tag == "a" and (given.get("href") or "").startswith("#")):
            self.wanted.add((given.get("href") or "#")[1:])


@pytest.mark.parametrize("step", STEPS)
def test_every_step_has_its_page_and_every_id_is_there_once(client: FlaskClient, step: str) -> None:
    answer = client.get(f"/configure?step={step}&{FULL}")

    found = Ids(answer.text)
    assert answer.status_code == 200
    assert [id for id, count in Counter(found.ids).items() if count > 1] == []
    assert found.wanted - set(found.ids) - {""} == set()


@pytest.mark.parametrize("step", STEPS)
def test_step_links_carry_the_whole_plan(client: FlaskClient, step: str) -> None:
    page = client.get(f"/configure?step={step}&{FULL}").text

    links = re.findall(r'cfg-steps__item[^>]*><a href="([^"]+)"', page)
    assert len(links) == len(STEPS)
    for link, other in zip(links, STEPS, strict=True):
        assert f"step={other}" in link
        for part in ("length_mm=4400", "add=rocker_left", "remove=hood", "finish.roof=gloss_black", "edges=hidden", "drop_off=2027-03-08"):
            assert part in link


@pytest.mark.parametrize("step", STEPS)
def test_a_form_sent_as_it_stands_changes_nothing(client: FlaskClient, step: str) -> None:
    """What the page shows is what its form says: submitting it untouched leads to the same plan."""
    if step == "send":
        pytest.skip("the last step's form sends the plan")
    page = client.get(f"/configure?step={step}&{FULL}").text
    plan = re.search(r'data-address="([^"]+)"', page)
    assert plan

    answer = client.get("/configure", query_string=[*fields_of(page), ("go", step)])

    assert answer.status_code == 303
    assert answer.location.split("?")[1] == plan[1].replace("&amp;", "&").split("?")[1]


def fields_of(page: str) -> list[tuple[str, str]]:
    """Names and values that a browser would send for the page's form, untouched."""
    return list(Fields(page).pairs())


class Fields(HTMLParser):
    """Successful controls of a form (HTML, 4.10.21.4: constructing the entry list), as far as our pages need it."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: list[tuple[str, str]] = []
        self.select: tuple[str, list[tuple[str, bool]]] | None = None
        self.feed(text)

    def pairs(self) -> Iterator[tuple[str, str]]:
        yield from self.found

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "input" and given.get("name"):
            if given.get("type") not in {"checkbox", "radio"} or "checked" in given:
                self.found.append((given["name"], given.get("value", "")))
        elif tag == "select":
            self.select = (given["name"], [])
        elif tag == "option" and self.select:
            self.select[1].append((given.get("value", ""), "selected" in given))

    def handle_endtag(self, tag: str) -> None:
        if tag == "select" and self.select:
            name, options = self.select
            self.found.append((name, next((value for value, chosen in options if chosen), options[0][0])))
            self.select = None


def test_a_visitor_without_a_plan_starts_with_a_plain_car(client: FlaskClient) -> None:
    page = client.get("/configure").text

    assert 'id="body-sedan" name="body" value="sedan" checked' in page
    assert "package=full_front" in page
    assert 'id="striped" name="f.striped" value="yes">' in page


def test_the_address_may_hold_inches(client: FlaskClient) -> None:
    answer = client.get("/configure?step=coverage&body=coupe&length_in=175")

    assert answer.status_code == 200
    assert "length_mm=4445" in answer.text


@pytest.mark.parametrize(
    ("query", "key"),
    [
        ("body=spaceship", "vehicle.body"),
        ("body=coupe&length_mm=300", "vehicle.size.length_mm"),
        ("body=coupe&length_mm=NaN", "length_mm"),
        ("body=coupe&add=wing", "coverage.add"),
        ("body=coupe&wheels=4", "wheels"),
        ("body=coupe&stripes=9,9", "stripes"),
        ("body=coupe&finish=gold", "finish.default"),
        ("body=coupe&drop_off=tomorrow", "drop_off"),
        ("body=coupe&step=paint", "step"),
        ("package=full_front", "vehicle.body"),
    ],
)
def test_what_cannot_be_used_is_refused_by_name(client: FlaskClient, query: str, key: str) -> None:
    answer = client.get(f"/configure?{query}")

    assert answer.status_code == 422
    assert key in answer.text
    assert answer.headers["Cache-Control"] == "no-store"


def test_a_refused_address_offers_the_plan_without_the_fault_and_does_not_take_it(client: FlaskClient) -> None:
    page = client.get("/configure?step=edges&body=coupe&package=track&add=wing&edges=hidden").text

    mended = re.search(r'class="cfg-button" href="([^"]+)"', page)
    assert mended
    assert client.get(mended[1].replace("&amp;", "&")).status_code == 200
    assert "wing" not in mended[1]


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.tuples(
            st.one_of(
                st.sampled_from(KEYS),
                st.text(max_size=12),
            ),
            st.one_of(
                st.sampled_from(
                    ["coupe", "van", "car", "coverage", "4700", "-1", "1e400", "hood", "wing", "2,240,110,0,matte", "2027-03-08", ""]
                ),
                st.text(max_size=20),
            ),
        ),
        max_size=8,
    ),
    st.sampled_from(["/configure", "/configure/live", "/embed/configure"]),
)
def test_no_query_breaks_a_page(client: FlaskClient, pairs: list[tuple[str, str]], path: str) -> None:
    """Properties: whatever stands in the address, the answer is a page, a way on, or a refusal."""
    answer = client.get(path, query_string=pairs)

    assert answer.status_code in {200, 303, 400, 403, 422}
    assert answer.mimetype == "text/html"


class TestHeaders:
    def test_pages_run_no_inline_script_and_load_nothing_from_elsewhere(self, client: FlaskClient) -> None:
        answer = client.get(f"/configure?step=coverage&{FULL}")
        policy = answer.headers["Content-Security-Policy"]

        assert "script-src 'self'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert re.findall(r"<script(?![^>]*\bsrc=)[^>]*>|\son\w+=|javascript:|\sstyle=", answer.text) == []
        nonce = re.search(r"'nonce-([^']+)'", policy)
        assert nonce
        assert set(re.findall(r'<style[^>]*nonce="([^"]+)"', answer.text)) == {nonce[1]}

    def test_no_page_sets_a_cookie(self, client: FlaskClient) -> None:
        for path in ("/", *(f"/configure?step={step}" for step in STEPS), f"/embed/configure?site={LISTED}", "/nowhere"):
            assert "Set-Cookie" not in client.get(path).headers

    def test_a_listed_site_and_no_other_may_frame_the_embedded_pages(self, client: FlaskClient) -> None:
        policy = client.get(f"/embed/configure?site={LISTED}").headers["Content-Security-Policy"]

        assert f"frame-ancestors 'self' {LISTED}" in policy

    @pytest.mark.parametrize(
        "site", ["https://other.example", "null", "javascript:1", f"{LISTED}.evil.example", "http://film.example", "x y"]
    )
    def test_a_site_that_is_not_listed_gets_a_page_without_anything_to_use(self, client: FlaskClient, site: str) -> None:
        answer = client.get("/embed/configure", query_string={"site": site})

        assert answer.status_code == 403
        assert "frame-ancestors *" in answer.headers["Content-Security-Policy"]
        assert re.findall(r"<(form|input|button)\b", answer.text) == []

    def test_the_site_is_matched_as_an_origin(self, client: FlaskClient) -> None:
        for same in ("https://FILM.example", "https://film.example:443", "https://film.example/some/page"):
            assert client.get("/embed/configure", query_string={"site": same}).status_code == 200


class TestLive:
    def test_an_answer_leaves_out_the_drawings_that_the_browser_has(self, client: FlaskClient) -> None:
        page = client.get("/configure?step=coverage&body=sedan&package=full_front").text
        have = ",".join(re.findall(r'data-drawing="(\w+)"', page))
        query = [*fields_of(page), ("f.panel", "roof"), ("f.changed", "f.panel:roof:on")]

        answer = client.get("/configure/live", query_string=query, headers={"X-Tuckline-Have": have})

        assert answer.status_code == 200
        assert "car-drawing view-top" not in answer.text
        assert 'data-say="Roof covered.' in answer.text
        assert len(gzip.compress(answer.data, 5)) < 9_000

    def test_a_size_that_cannot_be_is_a_message_beside_its_field(self, client: FlaskClient) -> None:
        page = client.get("/configure?step=car&body=sedan&package=full_front&length_mm=4700").text
        query = [(name, "300" if name == "f.length" else value) for name, value in fields_of(page)]

        answer = client.get("/configure/live", query_string=query)

        assert answer.status_code == 422
        assert 'id="length-error"' in answer.text
        assert 'value="300"' in answer.text


class TestLoader:
    def test_it_is_small_and_under_its_hash_kept_for_ever(self, client: FlaskClient) -> None:
        plain = client.get("/embed.js", headers={"Accept-Encoding": "gzip"})
        home = client.get("/").text
        address, integrity = re.search(r'src="(/embed-\w+\.js)" integrity="([^"]+)"', home).groups()  # type: ignore[union-attr]
        hashed = client.get(address)

        assert len(plain.data) < 5_000
        assert "max-age=300" in plain.headers["Cache-Control"]
        assert hashed.data == gzip.decompress(plain.data)
        assert "immutable" in hashed.headers["Cache-Control"]
        assert hashed.headers["Access-Control-Allow-Origin"] == "*"
        assert integrity.startswith("sha384-")
        assert client.get("/embed-0000000000000000.js").status_code == 404


def test_the_first_view_of_the_widget_is_light(client: FlaskClient) -> None:
    """At most 70 kB over the wire: page, stylesheets, scripts, loader, all gzipped."""
    answer = client.get(f"/embed/configure?site={LISTED}&body=sedan&package=full_front", headers={"Accept-Encoding": "gzip"})
    page = gzip.decompress(answer.data).decode()
    files = re.findall(r'(?:href|src)="(/static/[^"]+\.(?:css|js))"', page)

    weights = [len(client.get(file, headers={"Accept-Encoding": "gzip"}).data) for file in files]
    loader = len(client.get("/embed.js", headers={"Accept-Encoding": "gzip"}).data)

    assert all(weight > 0 for weight in weights)
    assert len(answer.data) + sum(weights) + loader < 70_000


def test_every_language_has_every_step(client: FlaskClient) -> None:
    for step in STEPS:
        page = client.get(f"/configure?step={step}&lang=de&{FULL}")

        assert page.status_code == 200
        assert '<html lang="de"' in page.text


def test_numbers_in_drawings_keep_their_decimal_point_in_a_language_with_a_comma(client: FlaskClient) -> None:
    page = client.get(f"/configure?step=coverage&lang=de&{FULL}").text

    numbers = re.findall(r'\s(?:x|y|r|cx|cy|width|height)="([^"]*)"', page)
    assert numbers
    assert all("," not in number for number in numbers)
    assert "m²" in page
    assert re.search(r"\d,\d\d\sm²", page)
