"""Faults parted by what happened since: cured or not, behind the trouble or not, in which slot."""
