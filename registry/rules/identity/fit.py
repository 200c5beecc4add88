"""How well each species fits what is seen on a fish.

The score of a species is the sum of log P(observation | species) over the characters seen. A number inside the
published range has P 1, seen but not usual ½; P falls by a factor of ten for every scute beyond the widest range, down
to 1 in 100. A look is misread by one observer in twenty. A character that was not looked at gives no term; where no
source says what a species shows, it gets the mean of the others, which speaks neither for it nor against it.
It advises; a genetic test decides.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from registry.rules.identity.characters import BY_KEY, Character
from registry.rules.identity.profile import Profile, Seen, Span

OBSERVER_ERROR, FLOOR, UNUSUAL = 0.05, 0.01, 0.5
# Below this the observation speaks against the species; below ln 3 the two best cannot be told apart.
AGAINST, APART = 0.2, math.log(3)


@dataclass(frozen=True, slots=True)
class Term:
    """What one character says of one species; `known` is False where no source says what the species shows."""

    character: str
    chance: float
    known: bool

    @property
    def against(self) -> bool:
        """Return whether the character disagrees."""
        return self.known and self.chance < AGAINST


@dataclass(frozen=True, slots=True)
class Fit:
    """One species beside what was seen."""

    profile: Profile
    terms: tuple[Term, ...]

    @property
    def score(self) -> float:
        """Return the log-score; 0 is the best there can be."""
        return math.fsum(math.log(term.chance) for term in self.terms)

    @property
    def disagreeing(self) -> tuple[str, ...]:
        """Return the characters that disagree."""
        return tuple(term.character for term in self.terms if term.against)


def fits(seen: Seen, profiles: Sequence[Profile]) -> list[Fit]:
    """Return every species beside what was seen, the best first.

    Species that fit equally well stand in the order of how narrow their ranges are: a fish inside a narrower range
    is there less by chance.
    """
    looked = [key for key in BY_KEY if key in seen]
    rows = {key: _chances(BY_KEY[key], seen, profiles) for key in looked}
    found = [Fit(one, tuple(rows[key][n] for key in looked)) for n, one in enumerate(profiles)]
    return sorted(found, key=lambda fit: (-round(fit.score, 9), _width(fit, seen), fit.profile.key))


def alike(found: Sequence[Fit]) -> list[Fit]:
    """Return the best and all that these characters do not set apart from it."""
    return [fit for fit in found if found[0].score - fit.score < APART]


def told_apart(better: Fit, worse: Fit) -> list[str]:
    """Return the characters known of both that speak for one species against another, the strongest first."""
    pairs = zip(better.terms, worse.terms, strict=True)
    weighed = [(math.log(one.chance / two.chance), one.character) for one, two in pairs if one.known and two.known]
    return [character for weight, character in sorted(weighed, reverse=True) if weight > math.log(2)]


def chance_of_number(value: float, span: Span, edge: float) -> float:
    """Return P(number | species); `edge` is how far a careful observer may be out by."""
    beyond = span.beyond(value)
    if beyond == 0:
        return 1.0 if span.usual(value) else UNUSUAL
    return max(FLOOR, math.sqrt(FLOOR) ** (beyond / edge))


def chance_of_look(state: str, shares: dict[str, float] | None, states: int) -> float:
    """Return P(look noted | species): the look that is there is noted, or by one observer in twenty another one."""
    other = OBSERVER_ERROR / (states - 1)
    there = (shares or {}).get(state, 0.0)
    return there * (1 - OBSERVER_ERROR) + (1 - there) * other


def chance(character: Character, seen: Seen, profile: Profile) -> float | None:
    """Return P(what was seen of a character | species); None where no source says what the species shows."""
    if character.states:
        shares = profile.looks.get(character.key)
        states = len(character.states)
        return chance_of_look(seen.looks[character.key], dict(shares), states) if shares else None
    span = profile.spans.get(character.key)
    if span is None:
        return None
    # Both sides tell of one fish: their mean, not their sum.
    values = seen.numbers[character.key]
    logs = [math.log(chance_of_number(value, span, character.edge)) for value in values]
    return math.exp(math.fsum(logs) / len(logs))


def _chances(character: Character, seen: Seen, profiles: Sequence[Profile]) -> list[Term]:
    known = [chance(character, seen, profile) for profile in profiles]
    said = [one for one in known if one is not None]
    mean = math.fsum(said) / len(said) if said else 1.0
    return [Term(character.key, mean if one is None else one, one is not None) for one in known]


def _width(fit: Fit, seen: Seen) -> float:
    """Return the mean log width of the ranges that the numbers seen fall into."""
    spans = [fit.profile.spans[key] for key in seen.numbers if key in fit.profile.spans]
    widths = [math.log(s.high - s.low + 1) for s in spans if s.high is not None and s.low is not None]
    return round(math.fsum(widths) / len(widths), 9) if widths else math.inf
