"""Tuckline: what a paint-protection-film job covers, costs and takes, worked out before the car arrives.

This package file imports nothing of its own, so that `configurator.domain` can be used without the web and the database.
"""

import os

__version__ = "0.1.0"

# Said before numpy is loaded: the matrices are small here, and threads of its own would spend the cores on waiting for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
