"""Iron: leaves, drives, linkages, stops, wind. Numbers in, numbers out; no I/O, no clock."""
