"""The loader as it is given out: under its plain name for a while, under its hash for ever."""

import base64
import hashlib
import re
from pathlib import Path

import brotli
import pytest
from flask.testing import FlaskClient

from configurator.web.embed import loader
from tests.web.desk_app import make_desk

KEPT = sorted((loader.FOLDER / "kept").glob("*.js"))


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> FlaskClient:
    return make_desk(tmp_path_factory.mktemp("loader")).client()


def test_the_loader_at_hand_is_among_the_kept_ones() -> None:
    """So that the next change adds a file instead of replacing one that pages already name."""
    name = f"{loader.current().hash}.js"

    assert name in {path.name for path in KEPT}, f"keep it: cp static/embed/loader.js static/embed/kept/{name}"


@pytest.mark.parametrize("path", KEPT, ids=lambda path: path.stem)
def test_a_kept_loader_stands_under_the_hash_of_its_content_and_is_served_for_ever(client: FlaskClient, path: Path) -> None:
    content = path.read_bytes()
    answer = client.get(f"/embed-{path.stem}.js")

    assert path.stem == hashlib.sha256(content).hexdigest()[:16]
    assert answer.data == content
    assert "immutable" in answer.headers["Cache-Control"]
    assert "max-age=31536000" in answer.headers["Cache-Control"]
    assert answer.headers["Access-Control-Allow-Origin"] == "*"
    assert answer.headers["Cross-Origin-Resource-Policy"] == "cross-origin"
    assert answer.content_type.startswith("text/javascript")


def test_it_is_small(client: FlaskClient) -> None:
    """Contract: under 5 kB gzipped; with Brotli smaller still."""
    zipped, packed = (client.get("/embed.js", headers={"Accept-Encoding": kind}) for kind in ("gzip", "br"))

    assert len(zipped.data) < 5_000
    assert len(packed.data) < len(zipped.data)
    assert brotli.decompress(packed.data) == client.get("/embed.js").data


def test_its_integrity_is_that_of_what_is_served(client: FlaskClient) -> None:
    """Subresource Integrity (W3C): a digest of the content, not of what goes over the wire."""
    now = loader.current()
    digest = base64.b64encode(hashlib.sha384(client.get(now.path).data).digest()).decode()

    assert now.integrity == f"sha384-{digest}"


@pytest.mark.parametrize("name", ["0000000000000000", "", "../loader", "..%2Floader", "kept/" + KEPT[0].stem])
def test_no_other_name_is_answered(client: FlaskClient, name: str) -> None:
    assert client.get(f"/embed-{name}.js").status_code == 404


def test_the_visitors_stylesheets_come_as_one_announced_before_the_page(client: FlaskClient) -> None:
    from configurator.web.assets import BUNDLES, ROOT, asset

    address = asset("css/visitor.css")
    page, bundle = client.get("/configure?body=sedan"), client.get(address)

    assert page.headers["Link"] == f"<{address}>; rel=preload; as=style"
    assert re.findall(r'<link rel="stylesheet" href="([^"]+)"', page.text.partition("<noscript>")[0]) == [address]
    assert bundle.data == b"".join((ROOT / part).read_bytes() for part in BUNDLES["css/visitor.css"])
    assert "immutable" in bundle.headers["Cache-Control"]
    assert client.get(address, headers={"Accept-Encoding": "br"}).headers["Content-Encoding"] == "br"
