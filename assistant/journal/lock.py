"""One writer at a time: a lock on the open file that the system lets go of when its process ends."""

from __future__ import annotations

import os
import sys

_FAR = 2**40
"""Where systems that lock bytes put the lock: far beyond any journal, so that reading stays free."""

if sys.platform == "win32":  # pragma: no cover - no such machine in the test run
    import msvcrt

    def try_lock(descriptor: int) -> bool:
        """Take the lock; False when somebody else has it."""
        os.lseek(descriptor, _FAR, os.SEEK_SET)
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def try_lock(descriptor: int) -> bool:
        """Take the lock; False when somebody else has it."""
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
