"""`user link`: the way back in for an owner whom nobody can help."""

from pathlib import Path
from urllib.parse import urlsplit

import pytest

from configurator.settings import read_settings
from configurator.web.factory import create_app
from tests.cli.test_desk_commands import ADD_INES, SECRET, Run, run
from tests.web.desk_app import form_token, log_in

__all__ = ["run"]


def test_the_link_sets_a_password_once_and_takes_the_second_step_off_if_told_to(run: Run, tmp_path: Path) -> None:
    run("db", "upgrade")
    run("user", *ADD_INES)
    settings = read_settings(
        {"DATABASE_URL": f"sqlite:///{tmp_path}/shop.db", "TUCKLINE_DATA_DIR": str(tmp_path), "TUCKLINE_SECRET_KEY": SECRET}
    )
    app = create_app(settings)
    store = app.extensions["tuckline"].store
    with store.writing() as work:
        user = work.users.credentials("ines@film.example").user
        work.users.set(user.id, totp_nonce="n", totp_on_since=app.extensions["tuckline"].clock())
    kept, taken = run("user", "link", "ines@film.example"), run("user", "link", "Ines@Film.example", "--second-step-off")
    assert (kept.exit_code, taken.exit_code) == (0, 0), taken.output
    client = app.test_client()
    path = urlsplit(taken.output.strip()).path

    assert client.get(urlsplit(kept.output.strip()).path).status_code == 410, "the newer link replaced it"
    token = form_token(client.get(path).text)
    assert client.post(path, data={"form_token": token, "password": "another good phrase"}).status_code == 303
    assert log_in(client, "ines@film.example", "another good phrase").location.endswith("/staff/")
    assert client.get(path).status_code == 410


@pytest.mark.parametrize("email", ["nobody@film.example", "", "x" * 300])
def test_nobody_gets_no_link(run: Run, email: str) -> None:
    run("db", "upgrade")
    refused = run("user", "link", email)

    assert refused.exit_code == 2
    assert refused.output.startswith("EMAIL: ")
