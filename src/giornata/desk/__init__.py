"""Desk: one open job, and the verbs that the command line and the pages share."""

from giornata.desk.new_job import DEMO, begin_demo, begin_job
from giornata.desk.opening import Job, job_inputs, open_job
from giornata.desk.verbs import (
    Change,
    WallView,
    events,
    job_path,
    set_value,
    survey_wall,
    undo,
)

__all__ = [
    "DEMO",
    "Change",
    "Job",
    "WallView",
    "begin_demo",
    "begin_job",
    "events",
    "job_inputs",
    "job_path",
    "open_job",
    "set_value",
    "survey_wall",
    "undo",
]
