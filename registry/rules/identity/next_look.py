"""Which character to look at next: the one that is expected to say most about which species it is."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from registry.rules.identity.characters import BY_KEY, Character
from registry.rules.identity.fit import Fit, chance
from registry.rules.identity.profile import Profile, Seen


@dataclass(frozen=True, slots=True)
class Gain:
    """A character and how many bits it is expected to add."""

    character: str
    bits: float


def next_looks(seen: Seen, found: Sequence[Fit]) -> list[Gain]:
    """Return the characters not yet seen by expected information gain, the best first.

    Every species of the catalogue is taken as equally likely before anything is seen. The gain of a character is the
    entropy of the species now, less the entropy expected once it is seen: H(S) − Σ P(o) H(S | o).
    """
    if not found:
        return []
    best = max(fit.score for fit in found)
    weights = [math.exp(fit.score - best) for fit in found]
    prior = [weight / math.fsum(weights) for weight in weights]
    profiles = [fit.profile for fit in found]
    gains = []
    for key, character in BY_KEY.items():
        if key in seen or sum(one.knows(key) for one in profiles) < 2:
            continue
        gains.append(Gain(key, _gain(prior, _outcomes(character, profiles))))
    return sorted(gains, key=lambda gain: (-round(gain.bits, 9), gain.character))


def entropy(shares: Sequence[float]) -> float:
    """Return the entropy in bits of shares that sum to 1."""
    return -math.fsum(share * math.log2(share) for share in shares if share > 0)


def _gain(prior: Sequence[float], outcomes: Sequence[Sequence[float]]) -> float:
    """Return the expected gain; `outcomes` holds, for each possible observation, its chance under every species."""
    left = 0.0
    for under in outcomes:
        joint = [share * one for share, one in zip(prior, under, strict=True)]
        total = math.fsum(joint)
        if total > 0:
            left += total * entropy([one / total for one in joint])
    return max(0.0, entropy(prior) - left)


def _outcomes(character: Character, profiles: Sequence[Profile]) -> list[list[float]]:
    """Return the chance of each possible observation under every species: each species' chances sum to 1."""
    observations = _possible(character, profiles)
    columns = []
    for profile in profiles:
        raw = [chance(character, one, profile) for one in observations]
        said = [one for one in raw if one is not None]
        total = math.fsum(said)
        columns.append([one / total for one in said] if said else None)
    known = [column for column in columns if column is not None]
    # What no source says of a species is expected to look as in the others: it gains nothing on them.
    mean = [math.fsum(values) / len(known) for values in zip(*known, strict=True)]
    return [list(row) for row in zip(*(column or mean for column in columns), strict=True)]


def _possible(character: Character, profiles: Sequence[Profile]) -> list[Seen]:
    if character.states:
        return [replace(Seen(), looks={character.key: state.key}) for state in character.states]
    spans = [one.spans[character.key] for one in profiles if character.key in one.spans]
    ends = [end for span in spans for end in (span.low, span.high) if end is not None]
    low, high = math.floor(min(ends)) - 2, math.ceil(max(ends)) + 2
    return [replace(Seen(), numbers={character.key: (float(n),)}) for n in range(max(0, low), high + 1)]
