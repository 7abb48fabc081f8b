"""Copper: the DC network of a site, its harness, its faults, and the meter that reads it."""
