"""Settings for every test."""

from __future__ import annotations

import os

from hypothesis import settings

# The first call of a compiled library can be slow, so no deadline. A gate must not pass or fail
# by luck, so there the examples are the same every time; at a desk they vary.
settings.register_profile("desk", deadline=None)
settings.register_profile("gate", deadline=None, derandomize=True)
settings.load_profile("gate" if os.environ.get("CI") else "desk")
