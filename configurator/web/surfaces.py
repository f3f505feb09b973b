"""The list of surfaces (groups of addresses) the app serves. Registration only; decisions live in each surface."""

from flask import Flask

from configurator.domain.price_book import ShopIdentity
from configurator.web.wiring import wired
from configurator.wording.phones import phone


def install(app: Flask) -> None:
    """Registers every blueprint."""
    from configurator.web import calendar_feed, health, private, staff
    from configurator.web.api import routes as api

    for surface in (health, api, calendar_feed):
        app.register_blueprint(surface.blueprint)
    _install_visitor(app)
    private.install(app)
    staff.install(app)


def _install_visitor(app: Flask) -> None:
    from configurator.web.embed import loader, preview
    from configurator.web.visitor import home
    from configurator.web.visitor.at_desk import make_desk_blueprint
    from configurator.web.visitor.pages import make_blueprint

    app.jinja_env.globals.update(shop_identity=shop_identity, phone=phone)
    for blueprint in (home.blueprint, loader.blueprint, preview.blueprint, make_blueprint(embedded=False), make_blueprint(embedded=True)):
        app.register_blueprint(blueprint)
    app.register_blueprint(make_desk_blueprint())


def shop_identity() -> ShopIdentity:
    """Name, town and how to reach the shop, for every template."""
    return wired().shop.book.shop
