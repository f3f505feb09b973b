"""What is kept, for those who answer for it: the audit trail, requests as files, a person's data."""

from flask import Blueprint

from configurator.web.staff import audit, export_page, person_data


def add_to(blueprint: Blueprint) -> None:
    """Adds the addresses of all three."""
    for module in (audit, export_page, person_data):
        module.add_to(blueprint)
