"""Pages a second of the paper package, beside a bare table document of as many pages by the same PDF library.

Run with `python -m tests.benchmarks.pdf_pages`; prints one line, exit 1 below the share wanted.
"""

from __future__ import annotations

import gc
import sys
import time
from collections.abc import Callable
from io import BytesIO

from reportlab.lib.pagesizes import letter
from reportlab.platypus import PageBreak, SimpleDocTemplate, Table

from annual_planner.paper import faces, qr
from annual_planner.paper.package import package_pdf
from tests.paper.sample import sample_view

WANTED = 0.5
RUNS = 5
ROWS, COLUMNS = 30, 6


def seconds(work: Callable[[], object]) -> float:
    """Shortest of some runs, each from cold measures of text and codes, as in a program just started."""
    found = []
    for _ in range(RUNS):
        for cached in (faces.broken, faces.settable, faces.width_of, qr.dark_runs, qr._path):
            cached.cache_clear()
        gc.collect()
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def bare(pages: int) -> None:
    """Write a table of plain strings on each page: the library's own pace, nothing else."""
    rows = [[f"row {row} column {column}" for column in range(COLUMNS)] for row in range(ROWS)]
    story: list[object] = []
    for _ in range(pages):
        story += [Table(rows), PageBreak()]
    SimpleDocTemplate(BytesIO(), pagesize=letter, invariant=1).build(story)


def main() -> int:
    """Measure both and say how they stand."""
    view = sample_view()
    pages = package_pdf(view, BytesIO())
    ours = pages / seconds(lambda: package_pdf(view, BytesIO()))
    library = pages / seconds(lambda: bare(pages))
    share = ours / library
    said = f"{len(view.cards)} cards, {pages} pages: {ours:.0f} pages/s; bare table document {library:.0f}"
    print(f"{said} pages/s; share {share:.2f} (wanted {WANTED} and more)")
    return 0 if share >= WANTED else 1


if __name__ == "__main__":
    sys.exit(main())
