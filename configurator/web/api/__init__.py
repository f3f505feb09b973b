"""The public API, version 1: what the widget, the shop's own programs and integrators talk to."""
