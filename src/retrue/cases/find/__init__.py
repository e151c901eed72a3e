"""Fault-finding as cases see it: who suspects what, what comes next, what was tried."""
