"""What holds for every test: one thread for linear algebra, as in the server, and generated cases that are the same on every run.

`HYPOTHESIS_PROFILE=searching` looks for new cases instead (`make soak` does): a suite that stands between a change and the main line
must not fail by chance for a fault that was there before.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("searching", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))
