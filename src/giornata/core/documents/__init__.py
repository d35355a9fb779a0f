"""Documents: what each page, sheet and card says, as records."""

from giornata.core.documents.closing_forms import closing_forms
from giornata.core.documents.closing_report import closing_report
from giornata.core.documents.drawing import (
    Area,
    Disc,
    DrawnPaper,
    Item,
    Label,
    Line,
    Pen,
    Sheet,
)
from giornata.core.documents.elevation import elevation, narrow_sheets
from giornata.core.documents.figure_list import figure_list, finding_list
from giornata.core.documents.frames import (
    LETTER,
    MARK_ARM,
    FrameKind,
    FrameMark,
    ProjectorFrame,
    frames_of,
    projector_frames,
    upright_from_wall,
)
from giornata.core.documents.grid_sheets import grid_sheets
from giornata.core.documents.light_levels import LEAST_LEVEL, light_levels
from giornata.core.documents.making_tables import (
    area_place_table,
    bend_table,
    foot_table,
    ground_table,
    roller_table,
)
from giornata.core.documents.moved_design import moved_words
from giornata.core.documents.narrow_tables import narrow_table, smallest_table
from giornata.core.documents.not_projected import (
    PutOn,
    left_out,
    marks_of_use,
    put_on,
    set_ups_aiming,
)
from giornata.core.documents.option_sheet import option_sheet
from giornata.core.documents.pack_tables import (
    finding_table,
    job_table,
    pack_tables,
    table_names,
)
from giornata.core.documents.pounce_sheets import pounce_sheets
from giornata.core.documents.pounce_tiling import POUNCE_OVERLAP
from giornata.core.documents.proposal import proposal
from giornata.core.documents.reference_sheets import reference_sheets
from giornata.core.documents.scales import PaperSize, Scale, paper_for, standard_scale
from giornata.core.documents.set_up_cards import set_up_cards
from giornata.core.documents.setting_out_sheet import setting_out_sheet
from giornata.core.documents.sheet_frame import Blocks
from giornata.core.documents.site_checks import site_checks
from giornata.core.documents.site_tables import mark_table, set_up_table
from giornata.core.documents.tables import (
    Cell,
    Column,
    PrintedColumn,
    PrintedTable,
    Table,
    printed_table,
)
from giornata.core.documents.take_off_tables import bill_table, edge_table, take_off_table
from giornata.core.documents.target_sheets import target_sheets
from giornata.core.documents.wall_pictures import WallPicture
from giornata.core.documents.work_tables import (
    extra_coat_table,
    option_table,
    paint_order_table,
    price_table,
    tin_name,
)
from giornata.core.documents.written import (
    Section,
    SignBlock,
    TextTable,
    WrittenPaper,
    unprinted_letters,
)

__all__ = [
    "LEAST_LEVEL",
    "LETTER",
    "MARK_ARM",
    "POUNCE_OVERLAP",
    "Area",
    "Blocks",
    "Cell",
    "Column",
    "Disc",
    "DrawnPaper",
    "FrameKind",
    "FrameMark",
    "Item",
    "Label",
    "Line",
    "PaperSize",
    "Pen",
    "PrintedColumn",
    "PrintedTable",
    "ProjectorFrame",
    "PutOn",
    "Scale",
    "Section",
    "Sheet",
    "SignBlock",
    "Table",
    "TextTable",
    "WallPicture",
    "WrittenPaper",
    "area_place_table",
    "bend_table",
    "bill_table",
    "closing_forms",
    "closing_report",
    "edge_table",
    "elevation",
    "extra_coat_table",
    "figure_list",
    "finding_list",
    "finding_table",
    "foot_table",
    "frames_of",
    "grid_sheets",
    "ground_table",
    "job_table",
    "left_out",
    "light_levels",
    "mark_table",
    "marks_of_use",
    "moved_words",
    "narrow_sheets",
    "narrow_table",
    "option_sheet",
    "option_table",
    "pack_tables",
    "paint_order_table",
    "paper_for",
    "pounce_sheets",
    "price_table",
    "printed_table",
    "projector_frames",
    "proposal",
    "put_on",
    "reference_sheets",
    "roller_table",
    "set_up_cards",
    "set_up_table",
    "set_ups_aiming",
    "setting_out_sheet",
    "site_checks",
    "smallest_table",
    "standard_scale",
    "table_names",
    "take_off_table",
    "target_sheets",
    "tin_name",
    "unprinted_letters",
    "upright_from_wall",
]
