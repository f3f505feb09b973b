"""A make-believe language that marks everything that went through the words, so that what did not stands out.

Texts come out as ⟦text⟧; so do names, figures, dates and lists. Letters that stand outside such marks on a page were written
into it by hand and could never be translated.
"""

from collections.abc import Callable, Iterable, Iterator
from gettext import NullTranslations
from html.parser import HTMLParser

import pytest

from configurator.wording import words as words_module
from configurator.wording.words import Words, words_for

OPEN, CLOSE = "⟦", "⟧"
PRINTERS = (
    *("number", "percent", "money", "money_range", "length", "area", "candela"),
    *("date", "time", "datetime", "weekday", "hours", "minutes", "days", "list", "name", "language_name"),
)
SPOKEN_ATTRIBUTES = {"title", "alt", "placeholder", "aria-label", "aria-description", "aria-valuetext", "aria-roledescription", "label"}
SILENT_TAGS = {"script", "style", "template", "code", "kbd"}


class PseudoTranslations(NullTranslations):
    def gettext(self, message: str) -> str:
        return f"{OPEN}{message}{CLOSE}"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str) -> str:
        return self.gettext(message)

    def npgettext(self, context: str, msgid1: str, msgid2: str, n: int) -> str:
        return self.ngettext(msgid1, msgid2, n)


def speak_pseudo(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every reader gets the make-believe language until the test is over."""
    monkeypatch.setattr(words_module, "translations", lambda language: PseudoTranslations())
    for name in PRINTERS:
        monkeypatch.setattr(Words, name, _marked(getattr(Words, name)))
    words_for.cache_clear()


def _marked(method: Callable[..., str]) -> Callable[..., str]:
    def marked(*arguments: object, **options: object) -> str:
        return f"{OPEN}{method(*arguments, **options)}{CLOSE}"

    return marked


def outside_marks(text: str) -> str:
    """What is left of a text when everything inside marks is taken out."""
    depth, left = 0, []
    for character in text:
        if character == OPEN:
            depth += 1
        elif character == CLOSE:
            depth -= 1
        elif depth == 0:
            left.append(character)
    return "".join(left).strip()


VOID_TAGS = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


class _Spoken(HTMLParser):
    """Collects what a reader sees or hears: text, and the attributes that are read out (not inside `aria-hidden`)."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: list[str] = []
        self._open: list[tuple[str, bool, bool]] = []
        """Open tags with whether they, or a tag around them, are silent, and hidden from hearing."""

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        given = dict(attributes)
        _, silent, hidden = self._open[-1] if self._open else ("", False, False)
        hidden = hidden or given.get("aria-hidden") == "true"
        self.texts += [value for name, value in given.items() if name in SPOKEN_ATTRIBUTES and value and not hidden]
        if tag == "meta" and given.get("name") == "description":
            self.texts.append(given.get("content") or "")
        if tag == "input" and given.get("type") in ("submit", "button"):
            self.texts.append(given.get("value") or "")
        if tag not in VOID_TAGS:
            self._open.append((tag, silent or tag in SILENT_TAGS, hidden))

    def handle_startendtag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attributes)
        self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        places = [place for place, (open_tag, _, _) in enumerate(self._open) if open_tag == tag]
        if places:
            del self._open[places[-1] :]

    def handle_data(self, data: str) -> None:
        if not (self._open and self._open[-1][1]):
            self.texts.append(data)


def spoken(page: str) -> list[str]:
    """What a reader sees or hears of a page, text by text."""
    reader = _Spoken()
    reader.feed(page)
    return [text for text in map(str.strip, reader.texts) if text]


def hard_coded(page: str, allowed: Iterable[str] = ()) -> list[str]:
    """The texts of a page that hold letters outside marks, but for `allowed` ones: names of the shop, of people, of rules."""
    return list(dict.fromkeys(_leftovers(spoken(page), tuple(allowed))))


def _leftovers(texts: list[str], allowed: tuple[str, ...]) -> Iterator[str]:
    for text in texts:
        left = outside_marks(text)
        for name in sorted(allowed, key=len, reverse=True):
            left = left.replace(name, "")
        if any(character.isalpha() for character in left):
            yield left.strip()
