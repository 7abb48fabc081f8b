"""How a run starts: site, settings, learn state, faults, seed. Enough to build the same bench again.

A run is `Setup` + tape. Anything that decided how a bench starts but was not in here would make a
replay differ from the run.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

from simgate.bench.site import Site
from simgate.board.mode_table import Table
from simgate.board.modes import carried
from simgate.wiring.faults import Fault
from simgate.wiring.heads import HeadSpec

Value = float | int | str


@dataclass(frozen=True)
class Setup:
    """The start of a run.

    job: name it goes by on the tape. settings: board settings that differ from default, by key.
    learned: whether the board has done its learn cycle on the healthy gate. faults: put in before the
    first scan, unseen. places: where each leaf starts, rad or m from shut (empty: all shut). seed: for
    variants. roll_call: whether the line's roll-call was done, as it was when the gate has learned;
    strangers: names of line beams that came after it. taught: (remote, key, what it calls for) of keys
    that the board knows. heads: how heads of the line stand, where that is not as meant; one that is not
    fitted yet will look that way once it is. own: a mode of a person's own that the board carries beside
    the shipped ones. wind: m/s of the day, None for the site's own; what the board has learned, it learned
    in the site's. rain: 0 (dry) to 1; it learned in the dry. exam: nobody can be asked what to measure next.
    """

    job: str
    site: Site
    settings: tuple[tuple[str, Value], ...] = ()
    learned: bool = False
    faults: tuple[Fault, ...] = ()
    places: tuple[float, ...] = ()
    mains: bool = True
    seed: int = 0
    text: str = ""  # the job file as read
    roll_call: bool = False
    strangers: tuple[str, ...] = ()
    taught: tuple[tuple[str, int, str], ...] = ()
    heads: tuple[tuple[str, HeadSpec], ...] = ()
    own: Table | None = None
    wind: float | None = None
    rain: float = 0.0
    exam: bool = False

    @property
    def devices_known(self) -> bool:
        """Whether anything is said of line and remotes."""
        return self.roll_call or bool(self.strangers) or bool(self.taught)

    def modes(self) -> Mapping[str, Table]:
        """The modes that the board carries, by title."""
        return carried(self.own)

    def fingerprint(self) -> str:
        """Short digest of everything above, so that a tape is never replayed on another job."""
        parts = (
            self.site.text,
            self.settings,
            self.learned,
            self.faults,
            self.places,
            self.mains,
            self.seed,
            self.text,
            *([(self.roll_call, self.strangers, self.taught)] if self.devices_known else []),
            *((self.heads,) if self.heads else ()),
            *((self.own,) if self.own else ()),
            *(() if self.wind is None else (self.wind,)),
            *((f"rain {self.rain!r}",) if self.rain else ()),
            *(("exam",) if self.exam else ()),
        )
        return hashlib.sha256(repr(parts).encode()).hexdigest()[:16]
