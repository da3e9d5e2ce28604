"""Sheets of labels by plain measures: how many, how large, where on the paper."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.resources.abc import Traversable
from typing import Annotated, Literal

from pydantic import Field, model_validator

from annual_planner.library.faults import refuse
from annual_planner.library.files import Kind, read_shelf, shipped
from annual_planner.library.rows import Real, Row, Whole, Word

POINTS = {"in": 72.0, "mm": 72 / 25.4}
"""Points (1/72 inch) in one of each unit."""
PAPERS = {"letter": (612.0, 792.0), "a4": (595.276, 841.89)}
"""Width and height in points."""
SPARE = 0.6
"""Points by which a sheet may seem to run over the paper, through rounded measures."""

Measure = Annotated[Real, Field(ge=0, le=1000)]
Count = Annotated[Whole, Field(ge=1, le=40)]


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """One sheet of labels; lengths in points. Labels are counted from 1 along the rows, from the top left."""

    key: str
    name: str
    paper: str
    columns: int
    rows: int
    label_width: float
    label_height: float
    left: float
    top: float
    gap_across: float
    gap_down: float

    @property
    def labels(self) -> int:
        """How many labels a sheet has."""
        return self.columns * self.rows

    def corner(self, place: int) -> tuple[float, float]:
        """Left edge of a label and its upper edge below the top of the paper, points; `place` from 0."""
        row, column = divmod(place, self.columns)
        return (
            self.left + column * (self.label_width + self.gap_across),
            self.top + row * (self.label_height + self.gap_down),
        )


class SheetRow(Row):
    """One [[sheet]]; every measure in its unit."""

    key: Word
    paper: Literal["letter", "a4"]
    unit: Literal["in", "mm"]
    columns: Count
    rows: Count
    label_width: Annotated[Real, Field(gt=0, le=1000)]
    label_height: Annotated[Real, Field(gt=0, le=1000)]
    left: Measure = 0.0
    top: Measure = 0.0
    gap_across: Measure = 0.0
    gap_down: Measure = 0.0

    @model_validator(mode="after")
    def _fits(self) -> SheetRow:
        value = self.value()
        wide, high = PAPERS[self.paper]
        right, bottom = value.corner(value.labels - 1)
        if right + value.label_width > wide + SPARE or bottom + value.label_height > high + SPARE:
            raise ValueError(f"labels that all lie on {self.paper} paper")
        return self

    def value(self) -> LabelSheet:
        """Give the sheet in points, named by its measures."""
        scale = POINTS[self.unit]
        return LabelSheet(
            key=self.key,
            name=self._name(),
            paper=self.paper,
            columns=self.columns,
            rows=self.rows,
            label_width=self.label_width * scale,
            label_height=self.label_height * scale,
            left=self.left * scale,
            top=self.top * scale,
            gap_across=self.gap_across * scale,
            gap_down=self.gap_down * scale,
        )

    def _name(self) -> str:
        count = self.columns * self.rows
        paper = {"letter": "Letter", "a4": "A4"}[self.paper]
        wide, high = (f"{round(each, 2):g}" for each in (self.label_width, self.label_height))
        return f"{count} labels of {wide} × {high} {self.unit} on {paper}"


SHEETS = Kind("label_sheets", "sheet", SheetRow)


def load_label_sheets(*folders: Traversable) -> dict[str, LabelSheet]:
    """Read what ships with the program, then a shop's folders, whose rows add to or replace by key.

    Refused with every fault of every file.
    """
    shelf = read_shelf(SHEETS, (shipped(), *folders))
    refuse(shelf.faults)
    return {key: entry.row.value() for key, entry in shelf.entries.items()}
