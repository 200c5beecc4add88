"""Family sizes: entered of one cross, and told beside the best sizes that the families of a plan could have."""

from typing import Any

from breeding.pages.crosses.bench import Bench, Names
from breeding.pages.crosses.pair.words import effect
from breeding.planning.advice.young import sized, young_of
from breeding.planning.best_sizes import best_sizes
from breeding.planning.reasons import figure
from registry.rules.crossing.sizes import FamilySized
from registry.web.entry_view import EntryForm
from registry.web.fields import Count, FishNumber

Told = dict[str, Any]


class SizeForm(EntryForm):
    """How many young are planned of a cross."""

    dam = FishNumber(label="Female")
    sire = FishNumber(label="Male")
    young = Count(
        label="Young planned of this family",
        required=False,
        help_text="Empty: as many as of each of the others. The figures of the plan follow.",
    )

    def entry(self) -> FamilySized:
        """Return what the operation takes."""
        return FamilySized(plan="", **self.cleaned_data)


def held_size(bench: Bench, names: Names) -> int | None:
    """Return what is planned of a cross so far."""
    return next((row.young for row in bench.rows if (row.dam.number, row.sire.number) == names), None)


def told_sizes(bench: Bench) -> Told | None:
    """Return the best sizes of the plan's families beside those planned; None where there are no two families."""
    problem, pairs, beside = bench.problem, bench.pairs, bench.beside
    if problem is None or beside is None or len(pairs) < 2:
        return None
    best = best_sizes(problem, pairs)
    planned = [bench.sizes.get(pair, 1.0) * bench.season.family_young for pair in pairs]
    lines: list[Told] = [
        {"names": names, "planned": round(now), "best": round(share * sum(planned))}
        for names, now, share in zip(bench.season.numbers(pairs), planned, best.shares, strict=True)
    ]
    young = young_of(problem, pairs, bench.season.pedigree, bench.season.at)
    return {
        "among": figure(sized(problem, pairs, young, [max(line["planned"], 1) for line in lines]).coancestry_of_young),
        "of_each": bench.season.family_young,
        "given": len(bench.sizes),
        "loose": bench.loose_sizes,
        "diversity": f"{100 * (1 - best.figures.group_coancestry):.3f} %",
        "effect": effect(best.figures.objective - beside.figures.objective),
        "lines": sorted(lines, key=lambda line: (-int(line["best"]), line["names"])),
    }
