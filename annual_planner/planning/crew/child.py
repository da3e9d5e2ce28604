"""Planning in a child process of low priority, so that a window stays smooth and a search can be ended.

The child is a fresh interpreter (spawn). It sends messages over a pipe: `Better` for each better plan, then
`Done` with the answer and its working, or `Failed` with what is said to the person. Nothing of the solver is
imported here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import Any, Self

from annual_planner.planning.crew.laid_out import LaidOut
from annual_planner.planning.crew.problem import Problem
from annual_planner.trade.refused import Refused
from annual_planner.trade.working import Worked

NICENESS = 10
"""How far the child steps back behind other programs."""

LAST_WORD_S = 3.0
"""Seconds a cancelled child has for its last word before it is ended."""


@dataclass(frozen=True, slots=True)
class Better:
    """A better plan came."""

    plan: LaidOut


@dataclass(frozen=True, slots=True)
class Done:
    """The search is over; this is its answer."""

    worked: Worked[Any]


@dataclass(frozen=True, slots=True)
class Failed:
    """There is no plan. `ours`: a fault of the program, not of the input. `clash`: rules that clash."""

    said: str
    remedy: str = ""
    ours: bool = False
    clash: tuple[str, ...] = ()


Message = Better | Done | Failed
Answers = Callable[[Connection, Any, Mapping[str, Any]], Done]


def _laid_out(pipe: Connection, problem: Problem, options: Mapping[str, Any]) -> Done:
    """Lay one airplane's work out."""
    from annual_planner.planning.crew.solve import lay_out

    return Done(
        lay_out(problem, on_better=lambda plan: pipe.send(Better(plan)), cancelled=pipe.poll, **options)
    )


class Child:
    """One search in a process of its own. It begins at once; `close` (or leaving `with`) ends it."""

    answers: Answers = staticmethod(_laid_out)
    """What the child does: a function of a module, given the pipe, the problem and the options."""

    def __init__(self, problem: Any, **options: Any) -> None:
        """`options`: those of `lay_out` that are plain values (seconds, seed, workers, aims, hint, keep)."""
        spawn = get_context("spawn")
        self._pipe, theirs = spawn.Pipe()
        self._process = spawn.Process(
            target=_work, args=(theirs, self.answers, problem, options), daemon=True
        )
        self._process.start()
        theirs.close()
        self._over = False

    def messages(self, wait_s: float = 0.0) -> Iterator[Message]:
        """The messages that are there; waits so long for the first. `Done` or `Failed` is the last."""
        while not self._over and self._pipe.poll(wait_s):
            wait_s = 0.0
            yield self._next()

    def _next(self) -> Message:
        try:
            message: Message = self._pipe.recv()
        except (EOFError, OSError):
            message = Failed("The search ended without an answer.", "Try it again.", ours=True)
        self._over = not isinstance(message, Better)
        return message

    @property
    def over(self) -> bool:
        """Whether the last message has come."""
        return self._over

    def cancel(self) -> None:
        """Ask the child to stop; its best plan so far still comes as `Done`."""
        if not self._over:
            try:
                self._pipe.send("stop")
            except OSError:
                return  # it has just ended; its last word is in the pipe

    def close(self) -> None:
        """End the child and free what it holds."""
        if self._process.is_alive():
            self._process.terminate()
        self._process.join(LAST_WORD_S)
        if self._process.is_alive():
            self._process.kill()
            self._process.join()
        self._process.close()
        self._pipe.close()
        self._over = True

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def _work(pipe: Connection, answers: Answers, problem: Any, options: Mapping[str, Any]) -> None:
    """What the child does."""
    _step_back()
    try:
        pipe.send(_answer(pipe, answers, problem, options))
    except (BrokenPipeError, OSError):
        pass  # nobody listens any more
    finally:
        pipe.close()


def _answer(pipe: Connection, answers: Answers, problem: Any, options: Mapping[str, Any]) -> Message:
    from annual_planner.planning.crew.clash import Impossible

    try:
        return answers(pipe, problem, options)
    except Impossible as refused:
        return Failed(refused.said, refused.remedy, clash=refused.clash)
    except Refused as refused:
        return Failed(refused.said, refused.remedy)
    except (BrokenPipeError, EOFError):
        raise
    except Exception as fault:  # whatever it is, the parent must hear of it
        return Failed(f"{type(fault).__name__}: {fault}", ours=True)


def _step_back() -> None:
    """Give way to other programs, where the system knows how."""
    import os

    if hasattr(os, "nice"):
        os.nice(NICENESS)
