"""Kinship in words and figures."""

from breeding.planning.limits import KINSHIP_TOLERANCE

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


def figure(value: float, decimals: int = 4) -> str:
    """A share or kinship without the zeros at its end; what is there but too small to write is told as such."""
    smallest = 10.0**-decimals
    if 0 < abs(value) < smallest / 2:
        return f"less than {smallest:.{decimals}f}"
    return f"{value:.{decimals}f}".rstrip("0").rstrip(".")
