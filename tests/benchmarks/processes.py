"""What a whole process costs, as the operating system counted it."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import threading
from typing import NamedTuple


class Cost(NamedTuple):
    """Processor seconds (user and system, children that ended too) and peak MB of one process.

    Of the peak, the largest process counts; a peak is never less than that of the process that starts another.
    """

    seconds: float
    peak: float


def run(command: list[str], limit: float, good: tuple[int, ...] = (0, 1)) -> Cost | None:
    """Run a process to its end; None when it takes longer than ``limit`` seconds of the clock. Raises on failure."""
    environment = {**os.environ, "ASFOUND_CACHE": "off"}
    with tempfile.TemporaryFile() as said:
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=said, env=environment)
        timer = threading.Timer(limit, process.kill)
        timer.start()
        _, status, used = os.wait4(process.pid, 0)
        timer.cancel()
        code = process.returncode = os.waitstatus_to_exitcode(status)
        said.seek(0)
        if code not in good and code >= 0:
            raise AssertionError(f"{' '.join(command[:4])} ... ended with {code}: {said.read(500)!r}")
    unit = 1 if sys.platform == "darwin" else 1024
    return Cost(used.ru_utime + used.ru_stime, used.ru_maxrss * unit / 1e6) if code >= 0 else None
