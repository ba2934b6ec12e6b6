"""For all tests: what they leave alone, and what they are not judged by.

No test reads or fills the cache of the person who runs it; those about the cache name one of their own. No test fails
because the machine is busy: examples have no deadline.
"""

from __future__ import annotations

import os

from hypothesis import settings

os.environ["ASFOUND_CACHE"] = "off"
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
