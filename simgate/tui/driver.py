"""A terminal that can go away while it is written to: its window closed, its line dropped.

Textual's own driver writes from a thread that would die of the first failure, and everything that is painted
afterwards would wait for it for ever, with the run's tape still open. Here writing to a terminal that is gone
does nothing, and whoever reads its keys asks the program to end.
"""

from __future__ import annotations

from typing import Any, TextIO, cast

from textual.driver import Driver

from simgate.tui.leaving import HUNG_UP

EMPTIED = "\x1b[H\x1b[2J"  # ECMA-48: cursor to the first cell (CUP), whole screen erased (ED 2)


class Forgiving:
    """A file that takes what it is given for as long as there is somebody to take it."""

    def __init__(self, file: TextIO) -> None:
        self._file = file
        self.gone = False

    def write(self, text: str) -> int:
        """Write, or nothing once the terminal is gone."""
        if not self.gone:
            try:
                return self._file.write(text)
            except (OSError, ValueError):
                self.gone = True
        return len(text)

    def flush(self) -> None:
        """Flush, or nothing."""
        if not self.gone:
            try:
                self._file.flush()
            except (OSError, ValueError):
                self.gone = True

    def __getattr__(self, name: str) -> Any:
        return getattr(self._file, name)


def forgiving(kind: type[Driver]) -> type[Driver]:
    """A driver of that kind whose terminal may go away."""

    class ForgivingDriver(kind):  # type: ignore[misc,valid-type]  # the kind depends on the system
        def __init__(self, *arguments: Any, **named: Any) -> None:
            super().__init__(*arguments, **named)
            file: TextIO | None = getattr(self, "_file", None)
            if file is not None:
                self._file: Any = Forgiving(file)

        def stop_application_mode(self) -> None:
            """Leave an empty screen behind, with the cursor at its beginning.

            A terminal that was made larger meanwhile shrinks its second screen as it goes back to the first;
            some push what stands above the cursor into what was there before.
            """
            self.write(EMPTIED)
            super().stop_application_mode()

        def run_input_thread(self) -> None:
            try:
                super().run_input_thread()
            except OSError:  # the line dropped between two keys
                self._app.call_later(self._app.exit, return_code=HUNG_UP)

    return cast("type[Driver]", ForgivingDriver)
