"""How fast the genetics are, beside a general genetics library on the same data in the same run.

    python -m tests.benchmarks.genetics_speed [fish]

Prints seconds, the baseline's seconds and their ratio; asserts nothing, since seconds depend on the machine. Every task
starts from arrays of parents, and its best of three is shown for both sides. Deep pedigrees and the command run in a
process of their own, so that the memory is theirs.
"""

import csv
import resource
import subprocess
import sys
import tempfile
import time
import warnings
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from breeding.genetics.diversity import group_kinship, with_young
from breeding.genetics.engine.families import Families
from breeding.genetics.founders import contributions, founder_equivalents
from breeding.genetics.gene_drop import allele_retention
from breeding.genetics.inbreeding import inbreeding
from breeding.genetics.kinship import kinship_of_positions
from breeding.genetics.pedigree import Pedigree, pedigree_from_arrays

# Fish, generations, breeders.
DEEP = {
    "23 generations of 11,000 breeders": (200_000, 23, 11_000),
    "115,000 breeders": (1_000_000, 7, 115_000),
    "115,000 breeders of 20 generations": (400_000, 20, 115_000),
}

Parents = tuple[np.ndarray, np.ndarray]


def hatchery(fish: int, generations: int, breeders: int, seed: int = 1) -> Parents:
    """An invented hatchery: as many families as breeders in each generation, breeders drawn at random."""
    random = np.random.default_rng(seed)
    dam, sire = np.full(fish, fish), np.full(fish, fish)
    each = breeders // generations
    dams, sires, start = np.arange(each // 2), np.arange(each // 2, each), each
    ends = np.linspace(each, fish, generations + 1).astype(int)[1:]
    for end in ends.tolist():
        family = random.integers(0, each, end - start)
        dam[start:end] = random.choice(dams, each)[family]
        sire[start:end] = random.choice(sires, each)[family]
        chosen = random.choice(np.arange(start, end), min(each, end - start), replace=False)
        dams, sires, start = chosen[: each // 2], chosen[each // 2 :], end
    return dam, sire


def pooled(pedigree: Pedigree, seed: int = 1) -> Pedigree:
    """The same hatchery with three possible sires in every family."""
    random = np.random.default_rng(seed)
    families = pedigree.families
    known = families.sire < len(pedigree)
    count = np.where(known, 3, 1)
    owner = np.repeat(np.arange(len(families)), count)
    # Other sires of about the same age: those of the neighbours in order of the first fish of the family.
    near = np.argsort(families.sire)
    place = np.argsort(near)
    shift = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    sire = families.sire[near[np.maximum(place[owner] - shift * random.integers(1, 3, len(owner)), 0)]]
    changed = Families(
        first=np.concatenate([[0], np.cumsum(count)]),
        dam=families.dam[owner],
        sire=np.where(known[owner], sire, families.sire[owner]),
        probability=1 / count[owner],
        copies=families.copies,
        double_reduction=families.double_reduction,
        shared=families.shared,
    )
    return Pedigree(pedigree.ids, pedigree.family, changed, pedigree.own_rows)


def best(task: Callable[[], object], times: int = 3) -> float:
    found = []
    for _ in range(times):
        start = time.perf_counter()
        task()
        found.append(time.perf_counter() - start)
    return min(found)


def tell(name: str, ours: float, theirs: float | None = None, baseline: str = "") -> None:
    ratio = "" if theirs is None else f"   {baseline} {theirs:8.3f} s   {theirs / ours:7.1f} times ahead"
    sys.stdout.write(f"{name:58} {ours:8.4f} s{ratio}\n")
    sys.stdout.flush()


def sgkit_inbreeding(parents: Parents, ploidy: int) -> Callable[[], object]:
    """The library's inbreeding, compiled beforehand on a small pedigree."""
    warnings.simplefilter("ignore")
    import sgkit  # noqa: PLC0415  (slow to import: only if the baseline is measured)
    import xarray as xr  # noqa: PLC0415

    def data(dam: np.ndarray, sire: np.ndarray) -> xr.Dataset:
        both = np.column_stack([dam, sire])
        both[both == len(dam)] = -1
        content = {"parent": (("samples", "parents"), both)}
        if ploidy > 2:
            content["stat_Hamilton_Kerr_tau"] = (("samples", "parents"), np.full(both.shape, ploidy // 2, np.uint64))
            content["stat_Hamilton_Kerr_lambda"] = (("samples", "parents"), np.full(both.shape, 0.1))
        return xr.Dataset(content)

    method = "diploid" if ploidy == 2 else "Hamilton-Kerr"

    def run(content: xr.Dataset) -> np.ndarray:
        return sgkit.pedigree_inbreeding(content, method=method).stat_pedigree_inbreeding.values

    run(data(*hatchery(500, 3, 30)))
    content = data(*parents)
    return lambda: run(content)


def ours(parents: Parents, ploidy: int = 2) -> np.ndarray:
    return inbreeding(pedigree_from_arrays(*parents, ploidy=ploidy, double_reduction=0.1))


def time_inbreeding(fish: int) -> None:
    for number in sorted({10_000, 100_000, fish}):
        parents = hatchery(number, 5, max(60, number // 350))
        theirs = best(sgkit_inbreeding(parents, 2), 2)
        tell(f"inbreeding of {number:,} fish", best(lambda parents=parents: ours(parents)), theirs, "sgkit")
    parents = hatchery(fish, 5, fish // 350)
    tell(
        f"inbreeding of {fish:,} tetraploids",
        best(lambda: ours(parents, 4)),
        best(sgkit_inbreeding(parents, 4), 1),
        "sgkit",
    )
    for name, size in DEEP.items():
        with ProcessPoolExecutor(1, get_context("spawn")) as apart:
            seconds, megabytes = apart.submit(deep, *size).result()
        tell(f"inbreeding, {name}", seconds)
        sys.stdout.write(f"  {megabytes} MB at most, with the parents and all of the program\n")


def deep(fish: int, generations: int, breeders: int) -> tuple[float, int]:
    """Seconds for the inbreeding of a deep or wide pedigree, and the most memory that this process had, in MB."""
    parents = hatchery(fish, generations, breeders)
    seconds = best(lambda: ours(parents), 2)
    # What the kernel counts for this program alone: getrusage keeps the peak of the process that started it.
    peak = next(line for line in Path("/proc/self/status").read_text().splitlines() if line.startswith("VmHWM"))
    return seconds, int(peak.split()[1]) // 1024


def time_cold_start(fish: int) -> None:
    """The command on a file, from the shell's prompt to its end; the reading of Python and of the file included."""
    dam, sire = (["" if parent == fish else f"N{parent}" for parent in of.tolist()] for of in hatchery(fish, 5, 285))
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "pedigree.csv"
        with file.open("w", newline="", encoding="utf-8") as out:
            csv.writer(out).writerows(
                [("id", "dam", "sire"), *zip(map("N{}".format, range(fish)), dam, sire, strict=True)]
            )
        command = [sys.executable, "manage.py", "lineage_report", str(file), "--out", str(Path(folder) / "out")]
        run = lambda: subprocess.run(command, check=True, capture_output=True)  # noqa: E731
        tell(f"lineage_report on {fish:,} rows, cold start", best(run))


def time_groups(fish: int) -> None:
    parents = hatchery(fish, 5, fish // 350)
    candidates = np.random.default_rng(2).choice(fish, 500, replace=False)
    tell(
        "kinship among 500 candidates, from scratch",
        best(lambda: kinship_of_positions(pedigree_from_arrays(*parents), candidates)),
    )
    pedigree = pedigree_from_arrays(*parents)
    tell("  the same, pedigree at hand", best(lambda: kinship_of_positions(pedigree, candidates)))
    tell("kinship of two fish, pedigree at hand", best(lambda: kinship_of_positions(pedigree, candidates[:2])))
    tell(
        "mean kinship of all and gene diversity, from scratch",
        best(lambda: group_kinship(pedigree_from_arrays(*parents))),
    )
    group = group_kinship(pedigree)
    pair = int(candidates[0]), int(candidates[1])
    tell("  after a new batch", best(lambda: with_young(pedigree, group, pair, 5_000)))
    tell("founder contributions and equivalents", best(lambda: founder_equivalents(contributions(pedigree))))
    tell("retention of founder genes, 10,000 drops", best(lambda: allele_retention(pedigree), 1))


def time_uncertainty(fish: int) -> None:
    certain = pedigree_from_arrays(*hatchery(fish, 5, fish // 350))
    uncertain = pooled(certain)

    def afresh(pedigree: Pedigree) -> Callable[[], object]:
        return lambda: inbreeding(Pedigree(pedigree.ids, pedigree.family, pedigree.families, pedigree.own_rows))

    sure, unsure = best(afresh(certain)), best(afresh(uncertain))
    tell("inbreeding, one sire a family", sure)
    tell("inbreeding, three possible sires a family", unsure)
    sys.stdout.write(
        f"  {unsure / sure:.2f} times the certain case; with the grouping of fish into families on both sides "
    )
    grouping = best(lambda: pedigree_from_arrays(*hatchery(fish, 5, fish // 350))) - best(
        lambda: hatchery(fish, 5, fish // 350)
    )
    sys.stdout.write(f"{(unsure + grouping) / (sure + grouping):.2f}\n")


def main() -> None:
    fish = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    parents = hatchery(fish, 5, fish // 350)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    tell(f"inbreeding of {fish:,} fish, for the first time", best(lambda: ours(parents), 1))
    more = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) // 1024
    sys.stdout.write(f"  {more} MB more than the parents take\n")
    time_groups(fish)
    time_uncertainty(fish)
    time_inbreeding(fish)
    time_cold_start(100_000)


if __name__ == "__main__":
    main()
