"""Tuckline: what a paint-protection-film job covers, costs and takes, worked out before the car arrives.

This package file imports nothing, so that `configurator.domain` can be used without the web and the database.
"""

__version__ = "0.1.0"
