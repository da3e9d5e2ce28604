"""Who does what, when, where and with which equipment: laying out jobs on people, zones, tools and open time.

Pure computation on plain values; nothing stored, nothing shown. In short:

    from annual_planner.planning.crew.problem import Problem, Person, Room, Tool, Job, Seat, After, Promise
    from annual_planner.planning.crew.open_time import Calendar, Span, weekly
    from annual_planner.planning.crew.solve import lay_out

    worked = lay_out(problem, seconds=10, seed=0, on_better=show, cancelled=asked_to_stop)
    worked.value    # LaidOut: places (job, starts, ends, people, pieces), finish, proven, bound, moved, …
    worked.working  # how it came about

- `open_time`: open time in quarter-hours; `problem`: what is to be laid out (Refused with all faults);
- `solve.lay_out`: the plan; `seconds=0` is by rules alone; `keep=` the plan so far for a re-plan;
- `model`: the rules as the solver takes them, each a method; on `times` (starts and ends) and `variables`;
- `free_hands`: hands that cost nothing (an owner's) for what they may do, where no plan is later for it;
- `clash.Impossible` (a Refused): raised when nothing fits, with the rules that clash in words;
- `binding`: the critical chain, and why a job can't be earlier; `slack`: how far it may slip;
- `likely`: chances of the finish, with and without daily re-planning, walked by the minute;
- `findings`: what the work may turn up (part of the problem; counts for `likely` alone);
- `estimates`: hours learned from hours used;
- `child`: the same in a child process of low priority, with messages.

The solver (ortools) and numpy are imported when they are first used, not with this package.
"""
