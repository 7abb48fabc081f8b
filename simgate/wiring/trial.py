"""A harness to try faults on, hundreds of them, one after the other.

It is the harness of the site in every respect; only its networks are found as variations of the sound one,
so that no fault compiles a solver of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from simgate.wiring import faults
from simgate.wiring.harness import Harness
from simgate.wiring.network import Network, Part
from simgate.wiring.spec import Fault, WiringSpec
from simgate.wiring.superposed import Shared
from simgate.wiring.varied import Varied

# What the copper comes to, as `Harness.changed` works it out.
COMES_TO = (
    "_network", "_memo", "diodes", "_feeds", "_shunted", "_heard", "flickers", "chatters", "held", "wrong",
)  # fmt: skip


class TrialHarness(Harness):
    """The copper of a site, for trying faults on. `network` is the copper as it stands now."""

    def __init__(self, spec: WiringSpec) -> None:
        self._sound: Network | None = None
        self._waiting = False
        self._shared = Shared()
        super().__init__(spec)

    def _built(self, parts: list[Part]) -> Network:
        if self._sound is None:
            self._sound = super()._built(parts)
        return Varied(self._sound, parts, self._shared)

    def changed(self) -> None:
        """Work out anew what the copper comes to, unless more is to be done to it first."""
        if not self._waiting:
            super().changed()

    @contextmanager
    def tried(self, given: Sequence[Fault]) -> Iterator[None]:
        """The copper with these faults in, worked out once for all of them; as before afterwards.

        Raises UserError, with nothing changed, when they cannot be there together.
        """
        before = {name: getattr(self, name) for name in COMES_TO}
        there: list[Fault] = []
        try:
            self._waiting = True
            for fault in given:
                faults.inject(self, fault)
                there.append(fault)
            self._waiting = False
            if there:
                self.changed()
            yield
        finally:
            self._waiting = True
            for fault in reversed(there):
                faults.mend(self, fault)
            self._waiting = False
            if there:
                self.version += 1
                for name, value in before.items():
                    setattr(self, name, value)

    @property
    def network(self) -> Varied:
        """The network of the copper as it stands."""
        assert isinstance(self._network, Varied)
        return self._network

    @contextmanager
    def altered(self, a: str, b: str, ohms: float, without: Sequence[str] = ()) -> Iterator[None]:
        """The copper with two points joined and these cores off for a moment; nothing is built anew."""
        before = {name: getattr(self, name) for name in COMES_TO}
        self._network = self.network.altered(a, b, ohms, without)
        self._memo, self.diodes, self._feeds, self._shunted, self._heard = {}, {}, {}, {}, {}
        yield
        for name, value in before.items():
            setattr(self, name, value)
