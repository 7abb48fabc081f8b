"""The panes of the Bench."""
