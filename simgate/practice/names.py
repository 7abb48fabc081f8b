"""Names from files as they are read out in a debrief: one spelling, whoever tells of them."""

from __future__ import annotations


def plain(word: str) -> str:
    """'stop-feed' as 'stop feed'."""
    return word.replace("-", " ")


def point(name: str) -> str:
    """'stop-post.1' as 'stop post 1'; the board's own terminals keep their spelling: 'board AUX-'."""
    owner, _, terminal = name.partition(".")
    return f"{plain(owner)} {terminal}".rstrip()
