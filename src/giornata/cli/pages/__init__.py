"""Pages: what each verb says, built from derived results."""

from giornata.cli.pages.closing import close_page, measure_page
from giornata.cli.pages.design import artwork_page, set_out_page, take_off_page
from giornata.cli.pages.folder import check_page, findings_page, log_page
from giornata.cli.pages.moved_design import with_moved_design
from giornata.cli.pages.names import explanation_page, names_page
from giornata.cli.pages.night_order import nights_page
from giornata.cli.pages.nights import set_ups_page
from giornata.cli.pages.photos import photos_page
from giornata.cli.pages.preparation import preparation_page
from giornata.cli.pages.schemes import colourways_page, options_page
from giornata.cli.pages.squaring import square_page
from giornata.cli.pages.wall import survey_page
from giornata.cli.pages.works import hours_page, paint_page, price_page

__all__ = [
    "artwork_page",
    "check_page",
    "close_page",
    "colourways_page",
    "explanation_page",
    "findings_page",
    "hours_page",
    "log_page",
    "measure_page",
    "names_page",
    "nights_page",
    "options_page",
    "paint_page",
    "photos_page",
    "preparation_page",
    "price_page",
    "set_out_page",
    "set_ups_page",
    "square_page",
    "survey_page",
    "take_off_page",
    "with_moved_design",
]
