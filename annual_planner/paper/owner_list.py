"""The owner's preparation list: what they may do before the visit, why, how to stay safe."""

from __future__ import annotations

from dataclasses import replace

from annual_planner.paper.cautions import caution_block
from annual_planner.paper.faces import BOLD, REGULAR, broken, leading
from annual_planner.paper.flow import Block, Group, Section
from annual_planner.paper.look import MM
from annual_planner.paper.notes import notes_to_foot
from annual_planner.paper.pen import Pen
from annual_planner.paper.said import said_day
from annual_planner.paper.signing import boxed_blanks
from annual_planner.paper.steps import step_blocks
from annual_planner.paper.text import band, gap, heading, labelled, paragraph, size_of, subheading
from annual_planner.planning.owner_jobs import SUPERVISED
from annual_planner.planning.package_view import OwnerJob, PackageView

TITLE = "The owner’s preparation list"
NOTHING = "Nothing to prepare: bring the airplane and its records."
WHEN = (
    "In the order of the work. Agree with the shop when each is done: most of it waits until the airplane "
    "was seen as it came. The maker’s current instructions come first, and the mechanic may stop it."
)
SIGNATURE_RULE = (
    "What you do as preventive maintenance under 14 CFR 43.3(g) you enter and sign yourself (43.9(a)): "
    "what was done, the date, your signature, certificate number and kind of certificate. Approving it "
    "for return to service takes a private pilot certificate or higher (43.7(f)). What you do under a "
    "mechanic’s eye (43.3(d)) the mechanic enters and signs; be there together, and never for the "
    "inspection itself. In doubt, ask before you begin."
)


def owner_list(view: PackageView, width: float) -> Section:
    """Make the list the owner takes home, on sheets of its own."""
    note = (
        f"For {view.aircraft.owner or 'the owner'}, {view.aircraft.registration}; the visit begins on "
        f"{said_day(view.package.start_on)}. Nothing here has to be done by you; each thing saves time in "
        "the shop."
    )
    head = heading(TITLE, width, note=note)
    first, jobs = _first(view, width), _jobs(view, width)
    nothing = [] if first or jobs else [Group((paragraph(NOTHING, width),))]
    groups = [*nothing, *first, *_leave_alone(view, width), *_signature_rule(view, width), *jobs]
    groups[0] = replace(groups[0], blocks=(head, *groups[0].blocks))
    filler = notes_to_foot(width, "Notes, and questions to the shop")
    return Section(TITLE, tuple(groups), own_sheet=True, filler=filler)


def _first(view: PackageView, width: float) -> list[Group]:
    """What to bring and look up, to be ticked at home."""
    texts = [f"{note.text} (card {note.card_number})" for note in view.owner_first]
    if not texts:
        return []
    steps = step_blocks(texts, width)
    first = Group((band("Before it comes in", width), *steps[:2]))
    return [first, *(Group((step,)) for step in steps[2:]), Group((gap(6),))]


def _jobs(view: PackageView, width: float) -> list[Group]:
    """Work that may be the owner's, in the order of the cards."""
    jobs = [_job(job, width) for job in view.owner_jobs]
    if jobs:
        above = (band("What you may do", width), paragraph(WHEN, width))
        jobs[0] = replace(jobs[0], blocks=(*above, *jobs[0].blocks))
    return jobs


def _job(job: OwnerJob, width: float) -> Group:
    blocks: list[Block] = [subheading(f"{job.title}  (card {job.card_number})", width)]
    blocks.append(labelled("Why", job.why, width))
    blocks += [labelled("Your part", job.authority, width), gap(2)]
    blocks += [caution_block(caution, width) for caution in job.cautions]
    blocks += step_blocks(job.steps, width)
    return Group(tuple(blocks), below=7)


def _leave_alone(view: PackageView, width: float) -> tuple[Group, ...]:
    if not view.leave_alone:
        return ()
    lines = [_barred(text, width) for text in view.leave_alone]
    first = Group((band("Please leave alone", width), *lines[:2]))
    return (first, *(Group((line,)) for line in lines[2:]), Group((gap(6),)))


def _barred(text: str, width: float) -> Block:
    size = size_of("body")
    lines = broken(text, REGULAR, size, width - 18)

    def draw(pen: Pen, x: float, top: float) -> None:
        pen.write(x + 3, top, "×", size + 2, face=BOLD)
        pen.write_lines(x + 18, top, lines, size)

    return Block(len(lines) * leading(size) + 3, draw)


def _signature_rule(view: PackageView, width: float) -> tuple[Group, ...]:
    """Who signs what; lines to sign on only where some of it is the owner's own to sign."""
    said = (subheading("Who signs", width), paragraph(SIGNATURE_RULE, width))
    if all(job.authority == SUPERVISED for job in view.owner_jobs):
        return (Group(said),) if view.owner_jobs else ()
    blanks = boxed_blanks(
        "Preventive maintenance done by the owner",
        (("name", 1.5), ("certificate kind, number", 1.5), ("date", 0.8), ("signature", 1.6)),
        width,
        note="Only for what you did under 43.3(g); the entry itself belongs in the maintenance record.",
    )
    return (Group((*said, gap(2 * MM), blanks), below=10),)
