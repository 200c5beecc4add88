"""How well species fit, in words."""

import math
from collections.abc import Sequence
from typing import Any

from registry.rules.identity.characters import BY_KEY
from registry.rules.identity.fit import Fit, told_apart
from registry.rules.identity.profile import Profile, Seen, printed

HARDLY = 10_000


def shown_fits(found: Sequence[Fit], seen: Seen) -> list[dict[str, Any]]:
    """Return every species with how well it fits beside the best, and what speaks against it."""
    best = found[0]
    return [
        {
            "profile": fit.profile,
            "place": n,
            "score": fit.score,
            "beside": beside(best.score - fit.score) if n > 1 else "best",
            "agrees": sum(1 for term in fit.terms if term.known and not term.against),
            "known": sum(1 for term in fit.terms if term.known),
            "against": [against(key, seen, fit.profile) for key in fit.disagreeing],
            "for_best": [BY_KEY[key].name.lower() for key in told_apart(best, fit)],
        }
        for n, fit in enumerate(found, start=1)
    ]


def beside(distance: float) -> str:
    """Return how much less well a species fits than the best, by the difference of their log-scores."""
    times = math.exp(min(distance, 50))
    if times < 1.05:
        return "as well as the best"
    if times >= HARDLY:
        return f"over {HARDLY:,} times less well".replace(",", "\N{NARROW NO-BREAK SPACE}")
    return f"{times:.1f} times less well" if times < 10 else f"{times:.0f} times less well"


def against(character: str, seen: Seen, profile: Profile) -> str:
    """Return what was seen beside what the species shows: "fin seams: seen a white seam; expected no white seam"."""
    known = BY_KEY[character]
    return f"{known.name.lower()}: seen {seen_words(character, seen)}; expected {expected(character, profile)}"


def seen_words(character: str, seen: Seen) -> str:
    """Return what was seen of a character."""
    known = BY_KEY[character]
    if known.states:
        return known.words(seen.looks[character])
    unit = f" {known.unit}" if known.unit else ""
    return " and ".join(f"{value:g}" for value in seen.numbers[character]) + unit


def expected(character: str, profile: Profile) -> str:
    """Return what a species shows: a range, or its looks with the commonest first; empty when no source says it."""
    known = BY_KEY[character]
    if known.states:
        shares = profile.looks.get(character, {})
        ordered = sorted(shares, key=lambda look: (-shares[look], look))
        return " or ".join(known.words(look) for look in ordered)
    span = profile.spans.get(character)
    if span is None:
        return ""
    usual = printed(span.usual_low, span.usual_high)
    return f"{span}{f' {known.unit}' if known.unit else ''}{f', usual {usual}' if usual else ''}"
