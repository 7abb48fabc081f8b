"""What a tape is known by without reading it: its format, how a run ends on it, and who is writing it.

Apart from `tape.py`, so that the first screen can count the runs left open without what reading one takes.
"""

from __future__ import annotations

import sys

if sys.platform != "win32":
    import fcntl

FORMAT = 1
END = "end"  # what the last line of a finished run does
LEFT = "left"  # a note of when hands left a run that is not over; no action, and any number of them


def lock(file: int, to_read: bool = False) -> bool:
    """Whether nobody else writes the file; held from then on, alone unless only to read.

    Where there are no locks, or not on this disk, nobody does.
    """
    if sys.platform != "win32":
        try:
            fcntl.flock(file, (fcntl.LOCK_SH if to_read else fcntl.LOCK_EX) | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:
            return True
    return True
