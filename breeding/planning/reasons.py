"""Why a pair is refused, and why it stands where it stands, in plain sentences."""

from typing import Protocol

from breeding.planning.limits import KINSHIP_TOLERANCE, Limits, Pair

# Kinship of non-inbred diploid relatives; any textbook of quantitative genetics, e.g. Falconer & Mackay 1996,
# chapter 5 (coancestry), from memory. The pedigree may hold another relationship of the same kinship.
LEVELS = (
    (0.5, "a fish and itself"),
    (0.25, "full sibs or parent and offspring"),
    (0.125, "half sibs or grandparent and grandchild"),
    (0.0625, "first cousins"),
    (0.03125, "first cousins once removed"),
    (0.015625, "second cousins"),
)


class Ranked(Protocol):
    """What a sentence about a ranked pair needs."""

    @property
    def rank(self) -> int: ...
    @property
    def dam(self) -> str: ...
    @property
    def sire(self) -> str: ...
    @property
    def kinship(self) -> float: ...
    @property
    def diversity_after(self) -> float: ...
    @property
    def diversity_change(self) -> float: ...
    @property
    def dam_mean_kinship(self) -> float: ...
    @property
    def sire_mean_kinship(self) -> float: ...


def refusals(pair: Pair, kinship: float, limits: Limits) -> list[str]:
    """All reasons against a pair; empty if it is permitted."""
    dam, sire = pair
    found = []
    if not limits.allows_kinship(kinship):
        value, limit = _told_apart(kinship, limits.max_kinship)
        found.append(
            f"The kinship of {dam} and {sire} is {value}, over the limit of {limit}: they are {closeness(kinship)}."
        )
    if pair in limits.forbidden:
        found.append(f"{dam} × {sire} is not to be made: {limits.forbidden[pair].rstrip('.')}.")
    for fish in pair:
        if limits.crosses_left.get(fish, 1) < 1:
            found.append(f"{fish} has no crosses left this season.")
    return found


def closeness(kinship: float) -> str:
    """How close two fish are, derived from their kinship alone."""
    if kinship <= KINSHIP_TOLERANCE:
        return "unrelated as far as the pedigree is known"
    closer = ""
    for level, relatives in LEVELS:
        if abs(kinship - level) <= KINSHIP_TOLERANCE:
            return f"as close as {relatives}"
        if kinship > level:
            than = f"closer than {relatives}"
            return f"{than}, though not as close as {closer}" if closer else than
        closer = relatives
    return f"less close than {closer}"


def standing(proposal: Ranked, of: int, living_coancestry: float) -> list[str]:
    """Why a permitted pair stands where it stands: its effect, its two parents, its young."""
    change = proposal.diversity_change
    direction = "raises" if change > KINSHIP_TOLERANCE else "lowers" if change < -KINSHIP_TOLERANCE else "leaves"
    amount = f" by {figure(abs(change))} to" if direction != "leaves" else " at"
    return [
        f"Place {proposal.rank} of {of}: its family {direction} gene diversity{amount} "
        f"{figure(proposal.diversity_after)}.",
        _rarity(proposal.dam, proposal.dam_mean_kinship, living_coancestry),
        _rarity(proposal.sire, proposal.sire_mean_kinship, living_coancestry),
        f"Its young have an expected inbreeding of {figure(proposal.kinship)}; "
        f"the parents are {closeness(proposal.kinship)}.",
    ]


def _rarity(fish: str, mean_kinship: float, average: float) -> str:
    told = f"mean kinship {figure(mean_kinship)}, average of the living {figure(average)}"
    if mean_kinship < average - KINSHIP_TOLERANCE:
        return f"{fish} carries genes that are rarer than average among the living ({told})."
    if mean_kinship > average + KINSHIP_TOLERANCE:
        return f"{fish} carries genes that are commoner than average among the living ({told})."
    return f"{fish} carries genes that are as common as the average of the living ({told})."


def _told_apart(value: float, limit: float) -> tuple[str, str]:
    """Both numbers with as many decimals as it takes to see that they differ."""
    decimals = next((count for count in range(4, 12) if round(value, count) != round(limit, count)), 12)
    return figure(value, decimals), figure(limit, decimals)


def figure(value: float, decimals: int = 4) -> str:
    """A share or kinship without the zeros at its end; what is there but too small to write is told as such."""
    smallest = 10.0**-decimals
    if 0 < abs(value) < smallest / 2:
        return f"less than {smallest:.{decimals}f}"
    return f"{value:.{decimals}f}".rstrip("0").rstrip(".")
