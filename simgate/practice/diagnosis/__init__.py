"""Fault-finding measured against the best plan: suspects, tests, plans, and how good a plan can be at all."""
