"""The working of a plan: what went in, how it was sought, how good it is known to be."""

from __future__ import annotations

from annual_planner.planning.crew.laid_out import LaidOut, said_late
from annual_planner.planning.crew.open_time import said_moment, said_steps
from annual_planner.planning.crew.problem import Problem
from annual_planner.trade.working import Input, Rule, Step, Worked, Working

GOALS = Rule(
    "this program's order of goals",
    "promised dates, then an early finish (and few moved jobs), then few people in each zone, "
    "then hands that cost less (an owner's own hours cost nothing), then little waiting",
)


def worked_plan(problem: Problem, plan: LaidOut, stopped: bool) -> Worked[LaidOut]:
    """A plan with its working."""
    return Worked(
        plan,
        Working(
            title="Laying out the work",
            result=plan.said + (", search stopped by hand" if stopped else ""),
            inputs=tuple(_inputs(problem)),
            steps=tuple(_steps(problem, plan)),
            rules=(GOALS,),
            assumptions=tuple(_assumed(problem)),
        ),
    )


def _inputs(problem: Problem) -> list[Input]:
    work = sum(job.likely * len(job.seats) for job in problem.jobs)
    return [
        Input("jobs", str(len(problem.jobs))),
        Input("work at likely hours", said_steps(work), "of one person"),
        Input("people", ", ".join(person.name for person in problem.people) or "none"),
        Input("open from", said_moment(problem.shop.spans[0].start)),
        Input("looked at until", said_moment(problem.shop.spans[-1].end)),
    ]


def _steps(problem: Problem, plan: LaidOut) -> list[Step]:
    steps = [Step("finish", said_moment(plan.finish))]
    if plan.bound is not None:
        steps.append(Step("no plan can be done before", said_moment(plan.bound)))
    if plan.settled:
        steps.append(Step("proven best in", ", ".join(plan.settled)))
    steps += [Step("promise", line) for line in said_late(plan)]
    names = {person.key: person.name for person in problem.people}
    for moved in plan.moved:
        were, are = (", ".join(names.get(k, k) for k in keys) for keys in (moved.were, moved.are))
        now = f"{said_moment(moved.now)} {are}".strip()
        steps.append(Step(f"moved: {moved.title}, was {said_moment(moved.was)} {were}".strip(), now))
    return [*steps, Step("time taken", f"{plan.seconds:.1f} s")]


def _assumed(problem: Problem) -> list[str]:
    there = {job.key for job in problem.jobs}
    done = sorted({after.job for job in problem.jobs for after in job.after if after.job not in there})
    found = ["Each job takes its likely hours; see the finish by chance for what that is worth."]
    if done:
        found.append(f"Not among these jobs, taken as done: {', '.join(done)}")
    if any(job.tools or job.room for job in problem.jobs):
        found.append("A job that pauses keeps its zone and its tools while it is left lying.")
    return found
