"""For all tests: what they leave alone, and what they are not judged by.

No test reads or fills the cache of the person who runs it, or what is remembered of their exchanges; those about the cache name one of their own. No test fails
because the machine is busy: examples have no deadline.
"""

from __future__ import annotations

import os
import tempfile

from hypothesis import settings

os.environ["ASFOUND_CACHE"] = "off"
for name in ("XDG_STATE_HOME", "LOCALAPPDATA"):
    os.environ[name] = tempfile.mkdtemp(prefix="asfound-tests-")
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")
