"""No test reads or fills the cache of the person who runs it; those about the cache name one of their own."""

from __future__ import annotations

import os

os.environ["ASFOUND_CACHE"] = "off"
