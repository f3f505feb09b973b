"""Which language this response speaks: `?lang=`, then Accept-Language, then the shop's default."""

from typing import cast

from flask import Flask, g, has_request_context, request

from configurator.web.wiring import wired
from configurator.wording.locales import available_locales, negotiate
from configurator.wording.words import Words


def words() -> Words:
    """The words of the request at hand (of the default locale outside a request)."""
    if not has_request_context():
        return Words(wired().settings.default_locale)
    if "words" not in g:
        g.words = Words(_locale())
    return cast(Words, g.words)


def speak(locale: str) -> None:
    """Fixes the language of the response, for a page whose record names one (a private link, a customer's mail)."""
    g.words = Words(locale)


def _locale() -> str:
    default = wired().settings.default_locale
    asked = request.args.get("lang", "")
    if asked.replace("-", "_") in available_locales():
        return asked.replace("-", "_")
    return negotiate([asked, *request.accept_languages.values()] if asked else list(request.accept_languages.values())) or default


def install(app: Flask) -> None:
    """Gives templates `_`, `ngettext` and `words`."""
    app.jinja_env.add_extension("jinja2.ext.i18n")
    app.jinja_env.install_gettext_callables(  # type: ignore[attr-defined]
        lambda text: words().gettext(text), lambda one, many, n: words().ngettext(one, many, n), newstyle=True
    )

    @app.context_processor
    def speaking() -> dict[str, object]:
        return {"words": words(), "available_locales": available_locales()}
