"""Desk: one open job, and the verbs that the command line and the pages share."""

from giornata.desk.opening import Job, job_inputs, open_job

__all__ = ["Job", "job_inputs", "open_job"]
