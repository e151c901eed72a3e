"""The deeds of the job, one file a phase: load, think, keep."""
