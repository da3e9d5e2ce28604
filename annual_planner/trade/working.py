"""The working behind a computed value: inputs, steps, rules, assumptions, result."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Input:
    """One thing that went in: its name, its value as people read it, its unit, and where it came from."""

    name: str
    value: str
    unit: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a computation or decision in words, and what it gave."""

    text: str
    result: str = ""


@dataclass(frozen=True, slots=True)
class Rule:
    """What a step rests on: a citation ('14 CFR 91.409(a)', 'common practice, no source') and its words."""

    citation: str
    says: str = ""


@dataclass(frozen=True, slots=True)
class Working:
    """How one value was reached, ready to be shown on screen, on paper and in a terminal."""

    title: str
    result: str
    inputs: tuple[Input, ...] = ()
    steps: tuple[Step, ...] = ()
    rules: tuple[Rule, ...] = ()
    assumptions: tuple[str, ...] = ()
    parts: tuple[Working, ...] = ()
    """Workings of values this one was made from."""


@dataclass(frozen=True, slots=True)
class Worked(Generic[T]):
    """A value together with its working."""

    value: T
    working: Working


def as_lines(working: Working, indent: str = "") -> list[str]:
    """The working as plain text lines, for a terminal or a text view."""
    lines = [f"{indent}{working.title}: {working.result}"]
    lines += [f"{indent}  input: {_input_text(item)}" for item in working.inputs]
    lines += [f"{indent}  step: {_step_text(step)}" for step in working.steps]
    lines += [f"{indent}  rule: {_rule_text(rule)}" for rule in working.rules]
    lines += [f"{indent}  assumed: {text}" for text in working.assumptions]
    for part in working.parts:
        lines += as_lines(part, indent + "  ")
    return lines


def as_dict(working: Working) -> dict[str, object]:
    """The working as plain values that JSON can hold."""
    return {
        "title": working.title,
        "result": working.result,
        "inputs": [
            {"name": i.name, "value": i.value, "unit": i.unit, "source": i.source} for i in working.inputs
        ],
        "steps": [{"text": s.text, "result": s.result} for s in working.steps],
        "rules": [{"citation": r.citation, "says": r.says} for r in working.rules],
        "assumptions": list(working.assumptions),
        "parts": [as_dict(part) for part in working.parts],
    }


def _input_text(item: Input) -> str:
    value = f"{item.value} {item.unit}".strip()
    return f"{item.name} = {value}" + (f" ({item.source})" if item.source else "")


def _step_text(step: Step) -> str:
    return f"{step.text} → {step.result}" if step.result else step.text


def _rule_text(rule: Rule) -> str:
    return f"{rule.citation}: {rule.says}" if rule.says else rule.citation
