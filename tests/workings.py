"""What a working has to say, looked at part by part."""

from __future__ import annotations

from collections.abc import Iterator

from annual_planner.trade.working import Working


def with_parts(working: Working) -> Iterator[Working]:
    yield working
    for part in working.parts:
        yield from with_parts(part)


def lacks(working: Working, *, whole: bool) -> list[str]:
    """What a working does not say. One that is a part may leave the rule to those that it is a part of."""
    parts = list(with_parts(working))
    said = {
        "title": working.title,
        "result": working.result,
        "inputs": working.inputs or working.parts,
        "steps": working.steps or working.parts,
        "rules": not whole or any(each.rules for each in parts),
        "the names and values of inputs": all(each.name and each.value for each in working.inputs),
        "the words of steps": all(each.text for each in working.steps),
        "the citations of rules": all(each.citation for each in working.rules),
        "the words of assumptions": all(working.assumptions),
    }
    return [name for name, there in said.items() if not there]
