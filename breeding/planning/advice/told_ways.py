"""Ways out of a season without a plan, in plain sentences."""

from collections.abc import Callable, Mapping

from breeding.planning.advice.relaxation import (
    CROSSES,
    DAMS,
    FEWER_FISH,
    FEWER_MUSTS,
    FISH,
    LEVEL,
    LIFTED,
    PAIRS,
    ROOM,
    USES,
    Relaxation,
    WayOut,
)
from breeding.planning.advice.told import Names, listed
from breeding.planning.problem import Problem
from breeding.planning.reasons import figure


def told_way(problem: Problem, way: WayOut, names: Names) -> str:
    """One way out as a sentence, its parts joined."""
    parts = [_TOLD[part.how](problem, part, names.get(part.limit, part.limit)) for part in way.parts]
    sentence = ", and ".join(parts)
    return f"{sentence[:1].upper()}{sentence[1:]}."


def _counted(count: float, one: str, more: str = "") -> str:
    return f"{int(count)} {one if count == 1 else more or f'{one}s'}"


def _pairs(part: Relaxation) -> str:
    return listed([f"{dam} × {sire}" for dam, sire in part.pairs])


def _uses(_: Problem, part: Relaxation, name: str) -> str:
    whom = f" (in the way: {listed(part.fish)})" if part.fish else ""
    return f"allow {_counted(part.by, 'more cross', 'more crosses')} a fish by the limit “{name}”{whom}"


def _level(_: Problem, part: Relaxation, name: str) -> str:
    value, before = part.value or 0.0, (part.value or 0.0) - part.by
    opens = f"opens {_counted(len(part.pairs), 'pair')}"
    return f"raise the limit “{name}” from {figure(before)} to {figure(value)}, which {opens}: {_pairs(part)}"


def _opened(_: Problem, part: Relaxation, name: str) -> str:
    return f"allow {_counted(part.by, 'pair')} in spite of the limit “{name}”: {_pairs(part)}"


def _room(_: Problem, part: Relaxation, name: str) -> str:
    return f"make room for {_counted(part.by, 'more cross', 'more crosses')} ({name})"


def _fewer_fish(_: Problem, part: Relaxation, name: str) -> str:
    return f"lower the limit “{name}” by {int(part.by)} to {int(part.value or 0)}"


def _fewer_musts(_: Problem, part: Relaxation, name: str) -> str:
    whom = f" of {listed(part.fish)}" if part.fish else ""
    return f"ask for {_counted(part.by, 'use')} less{whom} ({name})"


def _crosses(problem: Problem, part: Relaxation, _: str) -> str:
    wanted = int(part.value or 0)
    return f"ask for {_counted(wanted, 'cross', 'crosses')} in place of {problem.crosses}"


def _fish(_: Problem, part: Relaxation, __: str) -> str:
    one, more = ("more female", "more females") if part.limit == DAMS else ("more male", "more males")
    return f"find {_counted(part.by, one, more)} that may meet any mate"


def _lifted(_: Problem, __: Relaxation, name: str) -> str:
    return f"leave the limit “{name}” aside"


_TOLD: Mapping[str, Callable[[Problem, Relaxation, str], str]] = {
    USES: _uses,
    LEVEL: _level,
    PAIRS: _opened,
    ROOM: _room,
    FEWER_FISH: _fewer_fish,
    FEWER_MUSTS: _fewer_musts,
    CROSSES: _crosses,
    FISH: _fish,
    LIFTED: _lifted,
}
