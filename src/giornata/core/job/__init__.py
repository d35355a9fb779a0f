"""Job: the inputs of a job, the steps, and all that is derived from them."""

from giornata.core.job.derive import derive
from giornata.core.job.ground import rooms_before
from giornata.core.job.inputs import JobInputs, JobTitle, Site
from giornata.core.job.mark_rows import level_seams, picture_seams
from giornata.core.job.marking import mark_candidates, mark_pictures, seam_candidates
from giornata.core.job.night_work import place_of_nights
from giornata.core.job.not_flat import NotFlat, not_flat
from giornata.core.job.recipe import recipe
from giornata.core.job.results import Design, JobResults, Scheme, named_figures
from giornata.core.job.steps import Memo, Progress, Step, Stopped, run

__all__ = [
    "Design",
    "JobInputs",
    "JobResults",
    "JobTitle",
    "Memo",
    "NotFlat",
    "Progress",
    "Scheme",
    "Site",
    "Step",
    "Stopped",
    "derive",
    "level_seams",
    "mark_candidates",
    "mark_pictures",
    "named_figures",
    "not_flat",
    "picture_seams",
    "place_of_nights",
    "recipe",
    "rooms_before",
    "run",
    "seam_candidates",
]
