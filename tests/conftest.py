"""One thread for linear algebra in tests, as in the server; set before numpy is loaded."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
