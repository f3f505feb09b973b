"""What holds for every test: the package first, which keeps numpy to one thread, and generated cases that are the same on every run.

`HYPOTHESIS_PROFILE=searching` looks for new cases instead (`make soak` does): a suite that stands between a change and the main line
must not fail by chance for a fault that was there before.
"""

import os

from hypothesis import settings

import configurator  # noqa: F401  # before any test loads numpy

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("searching", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))
