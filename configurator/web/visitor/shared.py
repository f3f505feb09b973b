"""What the visitor's pages keep between requests: the plans of the shop whose price book is in force."""

from flask import current_app

from configurator.web.visitor.plan import Plans
from configurator.web.wiring import wired

KEY = "tuckline_plans"


def plans() -> Plans:
    """The plans of the shop as it is now; another price book starts them afresh."""
    kept = current_app.extensions.get(KEY)
    shop = wired().shop
    if not isinstance(kept, Plans) or kept.shop is not shop:
        kept = current_app.extensions[KEY] = Plans(shop)
    return kept
