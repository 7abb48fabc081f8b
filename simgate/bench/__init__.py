"""Coupling: one scan of hands, iron, copper and wits; the tape and the record of it."""
