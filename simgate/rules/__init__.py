"""Limits of published standards as data, each with its source."""
