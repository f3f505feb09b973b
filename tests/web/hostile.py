"""Texts that people and programs type into fields which don't expect them, and reading the forms of a page."""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser

TEXTS = (
    *("", "0", "-1", "1", "3", "12.5", "9" * 400, "1e999", "NaN", "on", "1,5", "٣", "½"),
    *("sedan", "hood", "tail_lamps", "full_body", "https://shop.example", "mara@ellison.example", "Robin Hale"),
    *("2027-03-08", "2027-02-30", "9999-12-31", "0001-01-01", "08:30", "25:61", "2027-03-15T09:00", "2027-03-15T09:00:00-05:00"),
    *("\x00", "\ufffd", "a" * 5000, "<script>", "'; --", "../../etc/passwd", "%s%n", "[1]", "{}", "=1+1", "javascript:alert(1)"),
)


@dataclass(frozen=True)
class Form:
    """One form of a page: where it goes, how, and its fields with what stands in them."""

    action: str
    method: str
    fields: tuple[tuple[str, str, str], ...]
    """(name, kind, value); the kind is the input's type, or the element's name."""

    def filled(self, chance: random.Random, wildness: float) -> dict[str, str]:
        """What would be sent: each field as it stands, or with probability `wildness` something else. Guards stay as they are."""
        sent: dict[str, str] = {}
        for name, kind, value in self.fields:
            if name in {"form_token", "revision"} or kind == "file" or chance.random() >= wildness:
                sent[name] = value
            else:
                sent[name] = chance.choice(TEXTS)
        return sent


class _Forms(HTMLParser):
    def __init__(self, page: str) -> None:
        super().__init__()
        self.page, self.forms = page, [("", "get", [])]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "form":
            self.forms.append((given.get("action") or self.page, (given.get("method") or "get").lower(), []))
        name = given.get("name")
        if tag in {"input", "select", "textarea", "button"} and name:
            self.forms[-1][2].append((name, given.get("type") or tag, given.get("value") or ""))


def forms_of(page: str, text: str) -> Iterator[Form]:
    """The forms of a page; `page` is its own address, where a form without an action goes."""
    parser = _Forms(page)
    parser.feed(text)
    for action, method, fields in parser.forms[1:]:
        yield Form(action, method, tuple(fields))
