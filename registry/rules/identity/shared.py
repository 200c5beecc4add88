"""What two species share of a character: 0 when it always tells them apart, 1 when it never does."""

from registry.rules.identity.characters import BY_KEY
from registry.rules.identity.profile import Profile, Span


def differences(one: Profile, two: Profile) -> list[tuple[str, float]]:
    """Return the characters known of both with the share that looks alike, those that differ most first."""
    found = [(key, shared(key, one, two)) for key in BY_KEY if one.knows(key) and two.knows(key)]
    order = list(BY_KEY)
    return sorted(found, key=lambda pair: (round(pair[1], 9), order.index(pair[0])))


def shared(character: str, one: Profile, two: Profile) -> float:
    """Return Σ min(p, q) over the looks; of numbers, the part of the two ranges taken together that is in both."""
    if BY_KEY[character].states:
        p, q = one.looks[character], two.looks[character]
        return sum(min(p.get(look, 0.0), q.get(look, 0.0)) for look in {*p, *q})
    return _overlap(one.spans[character], two.spans[character])


def _overlap(one: Span, two: Span) -> float:
    """Return |A ∩ B| / |A ∪ B| of two ranges of whole numbers; an open end reaches as far as the other range."""
    lows = [span.low for span in (one, two) if span.low is not None]
    highs = [span.high for span in (one, two) if span.high is not None]
    if not lows or not highs:
        return 1.0
    low, high = min(lows), max(highs)
    ends = [(low if span.low is None else span.low, high if span.high is None else span.high) for span in (one, two)]
    both = min(ends[0][1], ends[1][1]) - max(ends[0][0], ends[1][0]) + 1
    return max(0.0, both) / (max(ends[0][1], ends[1][1]) - min(ends[0][0], ends[1][0]) + 1)
