"""Estimates, pages and drawings over the app's own client, as ratios to a bare JSON answer and to reading one nested document."""

import json
import tempfile
from pathlib import Path

from flask import Flask, jsonify

from configurator.settings import read_settings
from configurator.storage.migrate import upgrade
from configurator.web.factory import create_app
from configurator.web.wiring import Wiring
from configurator.wire.selection import load_selection
from configurator.wire.strict_json import parse_json
from tests.bench.timing import Figures, cpu_ms
from tests.shops import demo_shop
from tests.wire.test_selection import CONTRACT_EXAMPLE

BODY = json.dumps(CONTRACT_EXAMPLE).encode()


def bench_web() -> Figures:
    """Warm answers, and the first answer for a size that nobody asked for before."""
    with tempfile.TemporaryDirectory() as folder:
        environment = {"TUCKLINE_SECRET_KEY": "b" * 40, "DATABASE_URL": f"sqlite:///{folder}/bench.db", "TUCKLINE_DATA_DIR": folder}
        wiring = Wiring(read_settings({**environment, "TUCKLINE_RATE_ESTIMATES": "1000000/minute"}))
        wiring.__dict__["shop"] = demo_shop()
        upgrade(wiring.store.engine)
        client = create_app(wiring.settings, wiring=wiring).test_client()
        bare = _bare_ms()
        figures = {f"{name}, to a bare answer": cpu_ms(run) / bare for name, run in _answers(client).items()}
        figures["estimate of a new size, to a warm one"] = _new_size_ms(client) / (figures["estimate, warm, to a bare answer"] * bare)
        wiring.store.engine.dispose()
        Path(folder, "bench.db").unlink(missing_ok=True)
    return figures


def _bare_ms() -> float:
    """A bare Flask app that reads the same nested document and answers with JSON: the ceiling."""
    app = Flask("bare")

    @app.post("/")
    def answer() -> object:
        from flask import request

        load_selection(parse_json(request.get_data()))
        return jsonify({"ok": True, "text": "x" * 2900})

    client = app.test_client()
    return cpu_ms(lambda: client.post("/", data=BODY, content_type="application/json"), times=50)


def _answers(client: object) -> dict[str, object]:
    post = lambda: _good(client.post("/api/v1/estimates", data=BODY, content_type="application/json"))  # type: ignore[attr-defined]  # noqa: E731
    get = lambda address: lambda: _good(client.get(address))  # type: ignore[attr-defined]  # noqa: E731
    return {
        "estimate, warm": post,
        "coverage page, warm": get("/configure?step=coverage&body=sedan&package=full_front"),
        "live answer, warm": get("/configure/live?f.form=coverage&body=sedan&package=full_front&f.package=full_front&add=roof"),
        "sheet, warm": get("/api/v1/diagram.svg?body=sedan&package=full_front"),
        "catalogue, warm": get("/api/v1/catalog"),
    }


def _good(answer: object) -> None:
    assert answer.status_code == 200, answer.get_data(as_text=True)[:300]  # type: ignore[attr-defined]


def _new_size_ms(client: object) -> float:
    sizes = iter(range(4601, 4640))

    def ask() -> None:
        document = {"version": 1, "vehicle": {"body": "sedan", "size": {"length_mm": next(sizes)}}, "coverage": {"package": "full_front"}}
        client.post("/api/v1/estimates", json=document)  # type: ignore[attr-defined]

    return cpu_ms(ask, times=3)
