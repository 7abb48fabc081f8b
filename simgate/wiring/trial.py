"""A harness to try faults on, hundreds of them, one after the other.

It is the harness of the site in every respect; only its networks are found as variations of the sound one,
so that no fault compiles a solver of its own.
"""

from __future__ import annotations

from simgate.wiring.harness import Harness
from simgate.wiring.network import Network, Part
from simgate.wiring.spec import WiringSpec
from simgate.wiring.varied import Shared, Varied


class TrialHarness(Harness):
    """The copper of a site, for trying faults on. `network` is the copper as it stands now."""

    def __init__(self, spec: WiringSpec) -> None:
        self._sound: Network | None = None
        self._shared = Shared()
        super().__init__(spec)

    def _built(self, parts: list[Part]) -> Network:
        if self._sound is None:
            self._sound = super()._built(parts)
        return Varied(self._sound, parts, self._shared)

    @property
    def network(self) -> Varied:
        """The network of the copper as it stands."""
        assert isinstance(self._network, Varied)
        return self._network
