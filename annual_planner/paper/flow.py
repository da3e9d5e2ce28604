"""Laying blocks out on sheets: what stays together, what is repeated, where sections begin."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from annual_planner.paper.pen import Pen

Draw = Callable[[Pen, float, float], None]
BETWEEN_SECTIONS = 16.0
"""Space above a section that begins on a sheet already begun."""


@dataclass(frozen=True, slots=True)
class Block:
    """Something of a known height that draws itself at (x, top) and is never cut.

    `once`: what it tells; `again` stands in its place on a sheet that has told it already.
    """

    height: float
    draw: Draw
    once: str = ""
    again: Block | None = None


@dataclass(frozen=True, slots=True)
class Group:
    """Blocks that stay on one sheet when one sheet can hold them.

    `running` is repeated when this group starts a new sheet (a table's heading row); `continued` when the
    group itself must be cut between two of its blocks. `below`: space under it, given up at a sheet's foot.
    """

    blocks: tuple[Block, ...]
    running: Block | None = None
    continued: Block | None = None
    below: float = 0.0

    @property
    def height(self) -> float:
        """Height of all blocks."""
        return sum(block.height for block in self.blocks)

    def followed_by(self, *blocks: Block) -> Group:
        """Give the group with more blocks under it."""
        return replace(self, blocks=(*self.blocks, *blocks))


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the paper with a title for the running head and the contents.

    `own_sheet`: begins on a fresh sheet and nothing follows it there. `filler` makes a block of use out of
    the height left at the foot of a sheet (lines for notes).
    """

    title: str
    groups: tuple[Group, ...]
    own_sheet: bool = False
    filler: Callable[[float], Block | None] | None = None
    needs: float = 0.3
    """Share of a sheet that must be free for the section to begin on a sheet already begun."""
    marks: dict[int, str] = field(default_factory=dict)
    """Group number → text of a bookmark below the section's own."""


@dataclass(slots=True)
class Page:
    """One sheet: blocks with the distance of their upper edge from the frame's top."""

    title: str
    placed: list[tuple[float, Block]] = field(default_factory=list)
    marks: list[tuple[int, str, float]] = field(default_factory=list)
    """(level, text, distance from the frame's top) of each bookmark."""
    told: set[str] = field(default_factory=set)
    """What blocks on the sheet tell that need not be told on it twice."""


class Flow:
    """Fills sheets of one frame height with sections."""

    def __init__(self, frame_height: float) -> None:
        self.pages: list[Page] = []
        self.first_page: dict[str, int] = {}
        self._height = frame_height
        self._used = frame_height
        self._section: Section | None = None
        self._closed = True

    def add(self, section: Section) -> None:
        """Lay out one section after those already there."""
        free = self._height - self._used
        fresh = section.own_sheet or self._closed or free < section.needs * self._height
        before, self._section = self._section, section
        if fresh:
            self._fill(before)
            self._open(section)
        else:
            self._used += BETWEEN_SECTIONS
        self._closed = section.own_sheet
        self.first_page[section.title] = len(self.pages)
        self._mark(0, section.title)
        for number, group in enumerate(section.groups):
            self._place(section, group, section.marks.get(number))

    def finish(self) -> list[Page]:
        """Give all sheets, the last one filled up."""
        self._fill(self._section)
        return self.pages

    def _place(self, section: Section, group: Group, mark: str | None) -> None:
        high = sum(self._here(block).height for block in group.blocks)
        if high > self._height - self._used and self._used > 0 and self._worth_a_page(group):
            self._next(section)
            self._put_all([group.running] if group.running else [])
        if mark:
            self._mark(1, mark)
        for block in group.blocks:
            if self._used + self._here(block).height > self._height and self._used > 0:
                self._next(section)
                self._put_all([b for b in (group.continued,) if b])
            self._put(block)
        self._used = min(self._used + group.below, self._height)

    def _worth_a_page(self, group: Group) -> bool:
        """A group that no sheet can hold is cut where it stands, unless its head would be left alone."""
        running = group.running.height if group.running else 0.0
        if group.height + running <= self._height:
            return True
        head = sum(block.height for block in group.blocks[:3])
        return head > self._height - self._used

    def _next(self, section: Section) -> None:
        self._fill(section)
        self._open(section)

    def _open(self, section: Section) -> None:
        self.pages.append(Page(section.title))
        self._used = 0.0

    def _fill(self, section: Section | None) -> None:
        if section is None or section.filler is None or not self.pages:
            return
        block = section.filler(self._height - self._used)
        if block is not None:
            self._put(block)

    def _put_all(self, blocks: Sequence[Block]) -> None:
        for block in blocks:
            self._put(block)

    def _here(self, block: Block) -> Block:
        """What stands for a block on the sheet begun: itself, or less when the sheet has told it already."""
        return block.again if block.again is not None and block.once in self.pages[-1].told else block

    def _put(self, block: Block) -> None:
        stands = self._here(block)
        self.pages[-1].placed.append((self._used, stands))
        if block.once:
            self.pages[-1].told.add(block.once)
        self._used += stands.height

    def _mark(self, level: int, text: str) -> None:
        self.pages[-1].marks.append((level, text, self._used))
