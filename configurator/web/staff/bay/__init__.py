"""The bay's pages, `/staff/bay/...`: today, check-in, the work order's tabs, hand-over, and what the record is made of."""

from flask import Blueprint


def add_to(blueprint: Blueprint) -> None:
    """Adds the addresses of every page."""
    from configurator.web.staff.bay import checks, cut_plan, film, hand_over, intake, panels, parts, printing, problems  # noqa: I001
    from configurator.web.staff.bay import record, results, seams, tasks, to_order, today

    order = (problems, today, intake, to_order, parts, panels, cut_plan, seams, checks, film, tasks, hand_over, printing, record, results)
    for module in order:
        module.add_to(blueprint)
