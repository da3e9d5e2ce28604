"""Reading the fields of a PDF form that anybody may have sent: in a process of its own, with limits.

A PDF can make a reader work for hours or take all memory. So it is read in a second process that may use so
much time and memory and no more, and that gives back plain text: names and values. Nothing in it is run.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from annual_planner.trade.refused import Refused

MOST_BYTES = 30_000_000
MOST_FIELDS = 20_000
MOST_PAGES = 2_000
MOST_SECONDS = 30
MOST_MEMORY = 1_500_000_000
LONGEST_NAME, LONGEST_VALUE = 200, 4_000
DEEPEST = 8
"""Levels of fields within fields; a paper of this program has one."""
_REMEDY = "Choose a copy of a work package that this program wrote, filled in and saved as PDF."


@dataclass(frozen=True, slots=True)
class FormField:
    """One filled or empty field: its page from 1, its name, and what stands in it; a tick is 'Yes'."""

    page: int
    name: str
    value: str


def read_form(content: bytes) -> tuple[FormField, ...]:
    """The fields of a PDF, in a process of its own. Refused, in one line, for what can't or won't be read."""
    _check_size(content)
    command = [sys.executable, "-c", _CHILD, json.dumps(sys.path)]
    try:
        done = subprocess.run(command, input=content, capture_output=True, timeout=MOST_SECONDS, check=False)
    except subprocess.TimeoutExpired as fault:
        raise Refused(f"The file took more than {MOST_SECONDS} s to read.", _REMEDY) from fault
    try:
        told = json.loads(done.stdout)
    except ValueError as fault:
        raise Refused("The file can't be read as a PDF form.", _REMEDY) from fault
    if "refused" in told:
        raise Refused(told["refused"], _REMEDY)
    return tuple(FormField(*each) for each in told["fields"])


_CHILD = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]);"
    "from annual_planner.exchange.form_fields import child; child()"
)


def child() -> None:
    """Read a PDF from the input and write what was found as JSON: what the second process does."""
    _limit_memory()
    sys.setrecursionlimit(800)
    output, sys.stdout = sys.stdout, sys.stderr
    try:
        found = [[each.page, each.name, each.value] for each in fields_in(sys.stdin.buffer.read())]
        output.write(json.dumps({"fields": found}))
    except Refused as refused:
        output.write(json.dumps({"refused": refused.said}))


def fields_in(content: bytes) -> list[FormField]:
    """The fields of a PDF, read here and now. Refused for anything that isn't a form within the limits."""
    _check_size(content)
    try:
        return _fields_in(content)
    except Refused:
        raise
    except Exception as fault:  # a reader fed with anything may raise anything; the person needs one line
        raise Refused("The file can't be read as a PDF form.", _REMEDY) from fault


def _check_size(content: bytes) -> None:
    if len(content) > MOST_BYTES:
        raise Refused(f"The file has {len(content) / 1e6:.0f} MB.", _REMEDY)
    if b"%PDF-" not in content[:1024]:
        raise Refused("The file is no PDF.", _REMEDY)


def _limit_memory() -> None:
    try:
        import resource
    except ImportError:  # where the system has no such limits the time alone is limited
        return
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_SECONDS, MOST_SECONDS))


def _fields_in(content: bytes) -> list[FormField]:
    from pypdf import PdfReader

    reader = PdfReader(BytesIO(content))
    if reader.is_encrypted:
        raise Refused("The file is encrypted.", _REMEDY)
    pages = reader.get_num_pages()
    if pages > MOST_PAGES:
        raise Refused(f"The file has {pages} pages.", _REMEDY)
    found: list[FormField] = []
    for number in range(pages):
        for widget in _widgets(reader.pages[number]):
            if len(found) >= MOST_FIELDS:
                raise Refused(f"The file has more than {MOST_FIELDS} fields.", _REMEDY)
            read = _field(number + 1, widget)
            found += [read] if read else []
    return found


def _widgets(page: Any) -> Iterator[Any]:
    annotations = page.get("/Annots")
    annotations = annotations.get_object() if annotations is not None else ()
    if not isinstance(annotations, list):
        return
    if len(annotations) > MOST_FIELDS:
        raise Refused(f"A page has more than {MOST_FIELDS} fields.", _REMEDY)
    for each in annotations:
        widget = each.get_object()
        if isinstance(widget, dict) and widget.get("/Subtype") == "/Widget":
            yield widget


def _field(page: int, widget: Any) -> FormField | None:
    """A field with its whole name; None for a button, a list or a signature, which are never taken."""
    names, value, kind, level = [], None, None, widget
    for _ in range(DEEPEST):
        name = _plain(level.get("/T"), LONGEST_NAME)
        names += [name] if name else []
        value = level.get("/V") if value is None else value
        kind = level.get("/FT") if kind is None else kind
        level = level.get("/Parent")
        level = level.get_object() if level is not None else None
        if not isinstance(level, dict):
            break
    else:
        raise Refused("The file has fields nested too deep.", _REMEDY)
    if kind not in ("/Tx", "/Btn"):
        return None
    text = _plain(value, LONGEST_VALUE)
    if kind == "/Btn":
        text = "" if text in ("", "/Off", "Off") else "Yes"
    return FormField(page, ".".join(reversed(names)), text)


def _plain(value: Any, longest: int) -> str:
    """Text of a text or a name; what is neither is told as unreadable. Refused for too much of it."""
    value = value.get_object() if hasattr(value, "get_object") else value
    if value is None:
        return ""
    if not isinstance(value, str):
        raise Refused("A field of the file holds what is no text.", _REMEDY)
    if len(value) > longest:
        raise Refused(f"A field of the file holds more than {longest} letters.", _REMEDY)
    return str(value)
