"""What may be set on a leaf from outside between its steps: a value that marks the leaf when it changes.

A step asks one flag only, whatever was set; setting the same value again costs the leaf nothing.
"""

from __future__ import annotations

from typing import Generic, Protocol, TypeVar

V = TypeVar("V", float, bool)


class Touched(Protocol):
    """What has inputs. touched: one of them was changed since the last step."""

    touched: bool


class Input(Generic[V]):
    """One of them, kept in the slot of its name with an underscore before it."""

    __slots__ = ("_slot",)

    def __set_name__(self, owner: type[Touched], name: str) -> None:
        self._slot = f"_{name}"

    def __get__(self, leaf: Touched, owner: type[Touched]) -> V:
        value: V = getattr(leaf, self._slot)
        return value

    def __set__(self, leaf: Touched, value: V) -> None:
        if value != getattr(leaf, self._slot):
            setattr(leaf, self._slot, value)
            leaf.touched = True
