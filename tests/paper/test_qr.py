from __future__ import annotations

from reportlab.graphics.barcode.qr import QrCodeWidget

from annual_planner.paper.qr import MASK, QUIET, card_code, dark_runs


def test_the_runs_are_exactly_the_dark_modules_within_a_quiet_zone() -> None:
    code = card_code("AP-2026-014", 108)
    side, runs = dark_runs(code)
    widget = QrCodeWidget(code, barLevel="M").qr
    widget.getBestMaskPattern = lambda: MASK
    widget.make()
    wanted = {
        (x + QUIET, y + QUIET) for y, row in enumerate(widget.modules) for x, dark in enumerate(row) if dark
    }
    drawn = {(x + step, y) for x, y, length in runs for step in range(length)}
    assert drawn == wanted
    assert side == len(widget.modules) + 2 * QUIET
