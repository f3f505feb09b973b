"""Writes mails in the reader's language, from one text template per kind; the first line is the subject."""

from functools import lru_cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template

from configurator.domain.desk import LINK, Letter
from configurator.domain.message import Fact
from configurator.wording.words import Words, words_for

TEMPLATES = Path(__file__).parents[2] / "templates" / "mail"


class TemplateLetters:
    """The letters port over `templates/mail/<kind>.txt`. Times are printed on the clock they come with."""

    def write(self, kind: str, locale: str, **facts: Fact | None) -> Letter:
        """The words of one kind of mail. A fact that the template wants and nobody gave is a mistake and raises."""
        words = words_for(locale)
        text = _template(kind, words.locale).render(**facts, link=LINK, words=words)
        subject, _, body = text.strip().partition("\n")
        return Letter(" ".join(subject.split()), body.strip() + "\n")


@lru_cache(maxsize=128)
def _template(kind: str, locale: str) -> Template:
    words: Words = words_for(locale)
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        undefined=StrictUndefined,
        autoescape=False,  # noqa: S701 - plain text: a mail shows `&` as it is
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.add_extension("jinja2.ext.i18n")
    environment.install_gettext_callables(words.gettext, words.ngettext, newstyle=True)  # type: ignore[attr-defined]
    return environment.get_template(f"{kind}.txt")
