"""Desk: one open job, and the verbs that the command line and the pages share."""

from giornata.desk.adjusted import (
    AdjustedMarks,
    adjusted_marks,
    adjusting_events,
    marks_known,
    square_as_adjusted,
)
from giornata.desk.closing import WallClosure, close_wall, drawn_set_ups, record_drawn
from giornata.desk.closing_papers import write_closing_report, write_moved_pictures
from giornata.desk.drawing import draw_artwork
from giornata.desk.measuring import (
    check_measurements,
    measurement_name,
    record_measure,
    undo_measure,
)
from giornata.desk.new_job import DEMO, begin_demo, begin_job
from giornata.desk.opening import Job, job_inputs, open_job
from giornata.desk.photo_marking import (
    KeptOutline,
    add_photo,
    draw_outlines,
    keep_outline,
    mark_points,
)
from giornata.desk.photographed import (
    SeenInPhoto,
    photographed,
    record_photographed,
    write_seen,
)
from giornata.desk.photographs import PhotosView, PhotoView, photo_named, view_photos
from giornata.desk.picture_moves import moves_by_hand
from giornata.desk.pictures import (
    MovedDesign,
    PictureMade,
    cross_places,
    designs_moved,
    pictures_made,
    record_picture,
    with_design_moved,
    write_squared_again,
)
from giornata.desk.replanning import chalk_new_marks, replan
from giornata.desk.squared import (
    drift_since,
    line_limit,
    lines_traced,
    marks_that_fell,
    moved_since,
    square_set_up,
    squared_reading,
    squared_set_ups,
)
from giornata.desk.squared_frames import (
    Shows,
    squared_picture,
    warp_form,
    write_squared,
)
from giornata.desk.squaring import (
    MarkInPicture,
    MarksSeen,
    Means,
    mark_sigma,
    marks_seen,
    marks_seen_events,
    on_the_wall,
    record_marks_seen,
    undo_marks_seen,
)
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
    "AdjustedMarks",
    "Change",
    "Job",
    "KeptOutline",
    "MarkInPicture",
    "MarksSeen",
    "Means",
    "MovedDesign",
    "PhotoView",
    "PhotosView",
    "PictureMade",
    "SeenInPhoto",
    "Shows",
    "WallClosure",
    "WallView",
    "add_photo",
    "adjusted_marks",
    "adjusting_events",
    "begin_demo",
    "begin_job",
    "chalk_new_marks",
    "check_measurements",
    "close_wall",
    "cross_places",
    "designs_moved",
    "draw_artwork",
    "draw_outlines",
    "drawn_set_ups",
    "drift_since",
    "events",
    "job_inputs",
    "job_path",
    "keep_outline",
    "line_limit",
    "lines_traced",
    "mark_points",
    "mark_sigma",
    "marks_known",
    "marks_seen",
    "marks_seen_events",
    "marks_that_fell",
    "measurement_name",
    "moved_since",
    "moves_by_hand",
    "on_the_wall",
    "open_job",
    "photo_named",
    "photographed",
    "pictures_made",
    "record_drawn",
    "record_marks_seen",
    "record_measure",
    "record_photographed",
    "record_picture",
    "replan",
    "set_value",
    "square_as_adjusted",
    "square_set_up",
    "squared_picture",
    "squared_reading",
    "squared_set_ups",
    "survey_wall",
    "undo",
    "undo_marks_seen",
    "undo_measure",
    "view_photos",
    "warp_form",
    "with_design_moved",
    "write_closing_report",
    "write_moved_pictures",
    "write_seen",
    "write_squared",
    "write_squared_again",
]
