"""What each headline figure means, in one line, and what it takes for granted."""

from dataclasses import dataclass, replace

from breeding.genetics.ancestry import GenerationInterval
from breeding.planning.reasons import figure
from registry.queries.status.figures import Status
from registry.queries.status.group import Headline

WORDS = ("label", "meaning", "assumption")
UNKNOWN = "Unknown parents are taken as unrelated founders."


@dataclass(frozen=True, slots=True)
class Told:
    """One figure on the page; `value` is the number for files, None where it cannot be told."""

    label: str
    text: str
    value: float | str | None
    meaning: str
    assumption: str


def of_stock(status: Status) -> list[Told]:
    """Return the headline figures of a stock in the order of the page."""
    head = status.headline
    share = sum(one.share for one in status.founders if one.can_breed)
    held = Told("Of founders that can still breed", figure(share), share,
                "Share of the genes of the living that came from founders still here, or with frozen milt.",
                "That part can be bred from its source again.")  # fmt: skip
    first, *others = _origin(head, status.interval.years)
    return [_counted(head), *_numbers(head), *_kinship(head), *_founders(head), first, held, *others]


def of_selection(head: Headline, interval: GenerationInterval) -> list[Told]:
    """Return the headline figures of a selection, in words that fit fish that may have died."""
    count = Told("Fish chosen", f"{head.living}", head.living, "Fish of the stock that fit what is asked above.",
                 "Registered one by one; untagged young are not among them.")  # fmt: skip
    told = [*_numbers(head), *_kinship(head), *_founders(head), *_origin(head, interval.years)]
    return [count, *(_of_fish_chosen(one) for one in told)]


def _of_fish_chosen(told: Told) -> Told:
    changed = {name: getattr(told, name).replace("the living", "the fish chosen") for name in WORDS}
    changed = {name: text.replace("two living fish", "two fish") for name, text in changed.items()}
    return replace(told, **changed)


def _number(value: float | None, decimals: int = 1) -> str:
    if value is None:
        return "cannot be told"
    return "no limit" if value == float("inf") else f"{value:.{decimals}f}"


size_text = _number


def _counted(head: Headline) -> Told:
    return Told("Living fish", f"{head.living}", head.living, "Fish of this stock that live here today.",
                "Registered one by one; untagged young only where asked for.")  # fmt: skip


def _numbers(head: Headline) -> list[Told]:
    return [
        Told("Founders represented", f"{head.founders}", head.founders, "Founders whose genes the living may carry.",
             f"{UNKNOWN} They give {figure(head.unknown_share)} of the genes and are not counted here."),
    ]  # fmt: skip


def _kinship(head: Headline) -> list[Told]:
    without = head.mean_kinship_without_self
    return [
        Told("Mean F of the living", figure(head.inbreeding), head.inbreeding,
             "Chance that the two genes of a fish at a locus are one ancestor's gene.",
             f"The pedigree is known {head.equivalent_generations:.2f} generations deep on average; F says little "
             f"where that is small. {UNKNOWN}"),
        Told("Mean kinship, self included", figure(head.mean_kinship), head.mean_kinship,
             "Chance that two genes drawn from the living, fish put back, are one founder's.",
             "Over all ordered pairs, each fish with itself too."),
        Told("Mean kinship, without self", "cannot be told" if without is None else figure(without), without,
             "The same between two different fish.", "Needs two living fish."),
        Told("Gene diversity", figure(head.gene_diversity), head.gene_diversity,
             "Share of the founders' expected heterozygosity that is left.",
             "1 less the mean kinship, self included; founders unrelated and not inbred unless entered as related."),
    ]  # fmt: skip


def _founders(head: Headline) -> list[Told]:
    ancestors = "Cannot be told where parentage is uncertain." if head.effective_ancestors is None else ""
    return [
        Told("Founder genome equivalents", _number(head.founder_genome_equivalents, 2), head.founder_genome_equivalents,
             "Unrelated founders that would hold as much gene diversity as the living.",
             "1/(gene copies × mean kinship with self)."),
        Told("Founder genomes surviving", _number(head.founder_genomes_surviving, 2), head.founder_genomes_surviving,
             "The same by another way: shares of the founders and what is kept of each.",
             f"{_drops(head)}; near the figure above, not equal to it."),
        Told("Founder equivalents", _number(head.founder_equivalents, 2), head.founder_equivalents,
             "Founders that would do as well if all gave equally.", f"Losses by chance not counted. {UNKNOWN}"),
        Told("Effective ancestors", _number(head.effective_ancestors, 2), head.effective_ancestors,
             "Ancestors, founders or not, that explain the genes of the living if all gave equally.",
             ancestors or "Less than the founder equivalents where few fish stood between founders and living."),
    ]  # fmt: skip


def _drops(head: Headline) -> str:
    if not head.drops:
        return "All outcomes counted"
    return f"By {head.drops} gene drops, greatest standard error of a retention {head.retention_error:.3f}"


def _origin(head: Headline, years: float | None) -> list[Told]:
    low, high = min(1.0, head.wild_low), min(1.0, head.wild_high)
    wild = figure(low) if high - low < 1e-9 else f"{figure(low)} to {figure(high)}"
    return [
        Told("Wild origin", wild, f"{low:.6f}-{high:.6f}", "Share of the genes that came from wild-caught founders.",
             "Unknown parents, and founders of unknown origin, count as captive in the first and as wild in the "
             "second figure."),
        Told("Generations in captivity", _number(head.generations_in_captivity, 2), head.generations_in_captivity,
             "Mean number of generations since the wild.", "Founders 0; unknown parents count as wild, so at least."),
        Told("Equivalent complete generations", _number(head.equivalent_generations, 2), head.equivalent_generations,
             "How deep the pedigree is known, beside F.", "Each known ancestor counts one half to the generation."),
        Told("Generation interval", "cannot be told" if years is None else f"{years:.1f} years", years,
             "Mean age of parents when the young that bred themselves were hatched.",
             "Mean of the four paths between the sexes; told once each is known. Age runs on for frozen milt."),
    ]  # fmt: skip
