"""The staff area: `/staff/...`. Cookie sessions, no frames, rights by role; what a role hasn't, it doesn't see."""

from functools import cache

from flask import Blueprint, Flask

from configurator.web.staff import guard


def install(app: Flask) -> None:
    """Registers the staff pages behind their guard."""
    guard.configure(app)
    app.register_blueprint(_with_pages())


@cache
def _with_pages() -> Blueprint:
    """The blueprint with its addresses: added once, however many apps a process makes."""
    from configurator.web.staff import (
        account,
        bay,
        calendar_page,
        customers,
        devices,
        door,
        factor,
        first_page,
        inbox,
        light_page,
        mail,
        people,
        photos,
        placing_page,
        problems,
        quote_page,
        request_page,
        reset,
        scope_page,
        shell,
        site,
        work_chart_page,
    )  # fmt: skip
    from configurator.web.staff import records as kept_records

    frame, entrance, who = (shell, problems), (first_page, door, reset), (account, factor, people, devices, customers)
    planning = (scope_page, quote_page, calendar_page, placing_page, work_chart_page)
    for module in (*frame, *entrance, *who, inbox, request_page, light_page, photos, mail, site, *planning):
        module.add_to(guard.blueprint)
    kept_records.add_to(guard.blueprint)
    bay.add_to(guard.blueprint)
    return guard.blueprint
