"""How long ago, as a busy reader wants it: minutes, then hours, then days, then the date."""

from datetime import datetime

from configurator.wording.words import Words

HOUR, DAY = 3600, 86400
MOST_DAYS = 60


def age(since: datetime, now: datetime, words: Words) -> str:
    """`26 min`, `3 hr`, `12 days`, after two months the date; `now` for less than a minute. Both on the reader's clock."""
    seconds = (now - since).total_seconds()
    if seconds < 60:
        return words.gettext("now")
    if seconds < HOUR:
        return words.minutes(int(seconds // 60), short=True)
    if seconds < DAY:
        return words.hours(int(seconds // HOUR), short=True)
    if seconds < MOST_DAYS * DAY:
        return words.days(int(seconds // DAY))
    return words.date(since.date(), "medium")


def time_left(due: datetime, now: datetime, words: Words) -> str:
    """`due in 3 hr`, `2 days late`."""
    left = (due - now).total_seconds()
    span = _span(abs(left), words)
    return words.gettext("due in %(span)s") % {"span": span} if left >= 0 else words.gettext("%(span)s late") % {"span": span}


def quote_left(expires: datetime, now: datetime, words: Words) -> str:
    """`runs out in 2 days`, `ran out 3 hr ago`."""
    left = (expires - now).total_seconds()
    text = words.gettext("runs out in %(span)s") if left >= 0 else words.gettext("ran out %(span)s ago")
    return text % {"span": _span(abs(left), words)}


def _span(seconds: float, words: Words) -> str:
    if seconds < HOUR:
        return words.minutes(max(int(seconds // 60), 1), short=True)
    if seconds < DAY:
        return words.hours(int(seconds // HOUR), short=True)
    return words.days(int(seconds // DAY))
