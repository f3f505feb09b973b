"""`work-outbox` also lets the clock make its move: a quote whose last day is over expires, and its mails leave in the same round."""

from pathlib import Path

from click.testing import CliRunner

from configurator.cli.outbox import work_outbox
from configurator.domain.review import State
from tests.quote_builders import advisor, quoted, stands
from tests.web.desk_app import make_desk


def test_one_round_expires_what_has_run_out_and_sends_the_mails_about_it(tmp_path: Path) -> None:
    desk = make_desk(tmp_path)
    with desk.app.app_context():
        reference, _, quote = quoted(desk.wiring.desk(), advisor(desk.wiring.desk()))
    desk.clock.now = quote.expires_at
    with desk.app.app_context():
        done = CliRunner().invoke(work_outbox, ["--once"])

    assert done.exit_code == 0, done.output
    assert stands(reference, desk.wiring.desk()).state is State.EXPIRED
    with desk.wiring.store.reading() as work:
        states = {mail.kind: mail.state for mail in work.mails.about(stands(reference, desk.wiring.desk()).id)}
    assert states["quote_expired"] == states["quote_expired_shop"] == "sent"
