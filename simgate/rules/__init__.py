"""Limits of published standards as data, each with its source; nothing here runs a gate."""
