"""The whole job file as one table of tables."""

from __future__ import annotations

from giornata.core.artwork import Paint
from giornata.files.job_artwork import (
    ArtworkTable,
    ChoiceTable,
    ColourwayTable,
    OptionTable,
    PaintTable,
)
from giornata.files.job_marks import MarksTable
from giornata.files.job_measures import Entry
from giornata.files.job_photos import PhotoTable
from giornata.files.job_power import PowerTable
from giornata.files.job_preparation import PreparationTable
from giornata.files.job_projection import ProjectorTable, StandTable
from giornata.files.job_terms import (
    AccessTable,
    JobTable,
    LabourTable,
    NightsTable,
    PaintSection,
    PriceTable,
)
from giornata.files.job_transfer import TransferTable
from giornata.files.job_wall import SiteTable, WallTable

__all__ = ["JobTables"]


class JobTables(Entry):
    """The whole job file."""

    job: JobTable
    site: SiteTable = SiteTable()
    wall: WallTable
    artwork: ArtworkTable
    paints: tuple[PaintTable, ...]
    options: tuple[OptionTable, ...]
    colourways: tuple[ColourwayTable, ...]
    choice: ChoiceTable
    paint: PaintSection
    labour: LabourTable
    access: AccessTable | None = None
    projector: ProjectorTable
    other_projectors: tuple[ProjectorTable, ...] = ()
    stand: StandTable
    nights: NightsTable = NightsTable()
    power: PowerTable | None = None
    transfer: TransferTable = TransferTable()
    marks: MarksTable = MarksTable()
    preparation: PreparationTable | None = None
    photos: tuple[PhotoTable, ...] = ()
    price: PriceTable

    def locked(self) -> tuple[str, ...]:
        """Colours of the artwork that the painter holds fast."""
        held = (c.lower() for paint in self.paints if paint.locked for c in paint.artwork)
        return tuple(dict.fromkeys(held))

    def palette(self) -> tuple[Paint, ...]:
        """The paints, numbered in the order they go on."""
        return tuple(
            Paint(
                number=number,
                key=paint.key,
                name=paint.name,
                role=paint.role,
                artwork=paint.artwork,
            )
            for number, paint in enumerate(self.paints, start=1)
        )
