"""Names the picture .svg: newer releases of the snapshot library read another attribute than the plugin sets.

Without it the picture is kept as .raw, which a README cannot show.
"""

from __future__ import annotations

import pytest_textual_snapshot  # type: ignore[import-untyped]  # it ships no types

pytest_textual_snapshot.SVGImageExtension.file_extension = "svg"

from tests.tui.conftest import no_waiting  # noqa: E402, F401  (a fixture; the name above must be set first)
