"""What can be wrong with a pedigree, by name; every error carries the fish it is about."""

from collections.abc import Hashable, Sequence


class PedigreeError(ValueError):
    """A pedigree that cannot be computed with.

    Parameters
    ----------
    message
        A sentence for a person, with the fish in it.
    fish
        The fish concerned, as named in the rows given.
    """

    def __init__(self, message: str, fish: Sequence[Hashable] = ()) -> None:
        super().__init__(message)
        self.fish = list(fish)


class CycleError(PedigreeError):
    """A fish is its own ancestor; ``fish`` is one loop, each fish followed by its offspring."""

    def __init__(self, fish: Sequence[Hashable]) -> None:
        way = " → ".join(str(name) for name in [*fish, fish[0]])
        super().__init__(f"A fish is its own ancestor: {way}. Correct the parents of one of these fish.", fish)


class ProbabilityError(PedigreeError):
    """The parentage probabilities of a fish are impossible or add up to more than one."""


class DrawError(PedigreeError):
    """Fish said to share one draw of parents do not list the same pairs."""


class InheritanceError(PedigreeError):
    """Gene copies or double reduction of a fish are impossible."""


class UnknownFishError(PedigreeError):
    """A fish was asked for that the pedigree does not hold."""

    def __init__(self, fish: Sequence[Hashable], where: str = "the pedigree") -> None:
        shown = ", ".join(str(name) for name in fish[:5]) + (" …" if len(fish) > 5 else "")
        super().__init__(f"Not in {where}: {shown}. Check the spelling, or add the fish to the pedigree first.", fish)


class TooLargeError(PedigreeError):
    """A result that would not fit into memory."""


class FounderKinshipError(PedigreeError):
    """A kinship matrix of founders that no population can have."""
