"""Feed readers of files from outside with changed copies of good ones, keeping what reaches new lines.

Run with `python -m tests.benchmarks.fuzz_readers [SECONDS]`: so many seconds for each reader (default 60).
Prints executions, lines of this program reached, crashes and hangs; exit 1 when there is a crash or a hang.
A crash is anything raised but Refused; a hang is one input that takes longer than HANG_S.
"""

from __future__ import annotations

import random
import signal
import sys
import time
import warnings
from collections.abc import Callable
from datetime import date
from io import BytesIO
from types import FrameType
from typing import Any

from annual_planner.trade.refused import Refused

HANG_S = 10
MOST_KEPT = 400
Line = tuple[str, int]


class Hang(BaseException):
    """An input took too long. No Exception, so that no reader catches it."""


def readers() -> dict[str, tuple[Callable[[bytes], object], list[bytes]]]:
    """Each reader with good files to begin from."""
    from annual_planner.exchange.form_fields import fields_in
    from annual_planner.exchange.hand_over.reading import opened_hand_over
    from annual_planner.exchange.history_layout import HEADINGS
    from annual_planner.exchange.plug_history import read_plug_history
    from annual_planner.library.shelf import load_library
    from annual_planner.records.closing_statement import check_statement
    from annual_planner.records.pictures import read_picture
    from annual_planner.records.taking_in import check_seals
    from tests.exchange.hand_over.repacked import RECORDS, listed, parts_of

    library = load_library(None)
    engine = library.engines[0]

    def history(content: bytes) -> object:
        text = content.decode("utf-8", "replace")
        return read_plug_history(text, engine=engine, shelf=library, today=date(2026, 5, 4))

    handed = _handed()

    def hand_over(content: bytes) -> object:
        with opened_hand_over(content, read_picture) as found:
            check_seals(found.records)
            return check_statement(found.records)

    def records(content: bytes) -> object:
        return hand_over(listed({**parts_of(handed), RECORDS: content}))

    csv = ",".join(HEADINGS) + "\nreading,2026-05-01,100.5" + "," * (len(HEADINGS) - 3) + "\n"
    short = "record,date,cylinder,reading_psi\nreading,2026-05-01,1,72\nreading,2026-05-01,2,70\n"
    return {
        "hand-over file (zip)": (hand_over, [handed]),
        "records of a hand-over (JSON)": (records, [parts_of(handed)[RECORDS]]),
        "filled package (PDF)": (fields_in, [_paper()]),
        "engine history (CSV)": (history, [csv.encode(), short.encode()]),
        "photograph": (read_picture, [_picture(kind) for kind in ("JPEG", "PNG", "WEBP")]),
    }


def _handed() -> bytes:
    import tempfile
    from pathlib import Path

    from tests.exchange.hand_over.handed import good_file

    with tempfile.TemporaryDirectory() as folder:
        return good_file(Path(folder))


def _paper() -> bytes:
    from pypdf import PdfReader, PdfWriter

    from annual_planner.paper.package import package_pdf
    from tests.paper.sample import sample_view

    target = BytesIO()
    package_pdf(sample_view(cards=1), target, engine_sheets=False)
    writer, small = PdfWriter(), BytesIO()
    writer.append(PdfReader(BytesIO(target.getvalue())), pages=(6, 8))
    writer.write(small)
    return small.getvalue()


def _picture(kind: str) -> bytes:
    from PIL import Image

    target = BytesIO()
    Image.linear_gradient("L").resize((40, 30)).convert("RGB").save(target, kind)
    return target.getvalue()


def changed(seed: bytes, other: bytes, chance: random.Random) -> bytes:
    """One to six changes: a byte, a cut, a repeat, a piece of another input, a telling word."""
    found = bytearray(seed)
    for _ in range(chance.randint(1, 6)):
        at, size = chance.randrange(len(found) + 1), chance.choice((1, 2, 4, 16, 200))
        piece = chance.choice(
            (
                chance.randbytes(size),
                b"",
                bytes(found[at : at + size]) * chance.randint(2, 40),
                other[at : at + size],
                chance.choice(
                    (b"/Parent 1 0 R", b"[" * 300, b"<<", b"-1", b"9" * 30, b"\0", b"\n", b'"', b"nan")
                ),
            )
        )
        found[at : at + chance.choice((0, len(piece), size))] = piece
    return bytes(found[:2_000_000])


def lines_of(work: Callable[[], object], seen: set[Line]) -> None:
    """Run it and put every line of this program, and of the PDF reader, that it reaches into `seen`."""

    def trace(frame: FrameType, event: str, arg: Any) -> Any:
        name = frame.f_code.co_filename
        if "annual_planner" not in name and "pypdf" not in name:
            return None
        if event == "line":
            seen.add((name, frame.f_lineno))
        return trace

    sys.settrace(trace)
    try:
        work()
    finally:
        sys.settrace(None)


def fuzz(
    read: Callable[[bytes], object], kept: list[bytes], seconds: float, chance: random.Random
) -> list[int]:
    """Executions, lines reached, crashes, hangs, refusals."""
    lines: set[Line] = set()
    counts = [0, 0, 0, 0, 0]
    ends = time.monotonic() + seconds
    while time.monotonic() < ends:
        first = counts[0] < len(kept)
        content = kept[counts[0]] if first else changed(chance.choice(kept), chance.choice(kept), chance)
        before = len(lines)
        counts[0] += 1
        signal.alarm(HANG_S)
        try:
            lines_of(lambda content=content: read(content), lines)  # type: ignore[misc]
        except Refused:
            counts[4] += 1
        except Hang:
            counts[3] += 1
            print(f"  hang: {content[:80]!r}")
        except Exception as fault:
            counts[2] += 1
            print(f"  crash: {type(fault).__name__} {fault!s:.100} on {content[:80]!r}")
        finally:
            signal.alarm(0)
        if len(lines) > before and not first and len(kept) < MOST_KEPT:
            kept.append(content)
    counts[1] = len(lines)
    return counts


def _stop(number: int, frame: FrameType | None) -> None:
    raise Hang


def main() -> int:
    """Fuzz every reader and say what came of it."""
    import logging

    logging.disable(logging.CRITICAL)
    warnings.simplefilter("ignore")
    signal.signal(signal.SIGALRM, _stop)
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    bad = 0
    for name, (read, kept) in readers().items():
        ran, lines, crashes, hangs, refused = fuzz(read, kept, seconds, random.Random(7))
        bad += crashes + hangs
        said = f"{name}: {ran} executions ({refused} refused), {lines} lines reached, {len(kept)} inputs kept"
        print(f"{said}, {crashes} crashes, {hangs} hangs in {seconds:.0f} s", flush=True)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
