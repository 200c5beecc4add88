"""How long everything that the status page of a stock needs takes, beside the plain way on the same register.

    python -m tests.benchmarks.status [--folder FOLDER] [--fish N]

The register has a million fish, of which 300,000 live. The plain way reads model instances and computes kinship by
recursion over a dictionary; since all pairs of the living would take it days, a sample stands for the living, so that
its seconds are far too few. Exit 1 if it takes less than 35 times as long.
"""

import argparse
import os
import resource
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

LEAST_RATIO = 35.0
SAMPLE = 1000


def main() -> int:
    """Build the register unless the folder holds it already, measure, and print both ways."""
    asked = _arguments()
    asked.folder.mkdir(parents=True, exist_ok=True)
    os.environ["SCUTE_DATA"] = str(asked.folder)
    os.environ["DJANGO_SETTINGS_MODULE"] = "registry.settings"
    import django  # noqa: PLC0415  (the folder comes first)

    django.setup()
    from django.core.management import call_command  # noqa: PLC0415

    from registry.models import Stock  # noqa: PLC0415
    from registry.queries.status.figures import status_of  # noqa: PLC0415
    from registry.queries.status.keep import kept_status  # noqa: PLC0415
    from registry.queries.status.revision import pedigree_revision  # noqa: PLC0415
    from tests.benchmarks.support import big_stock, plain_status  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    say(big_stock.ensure(asked.fish))
    stock = Stock.objects.select_related("species").get(name=big_stock.NAME)
    seconds, found = best(lambda: status_of(stock))
    assert found
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    say(f"everything of the status page, nothing kept  {seconds:8.3f} s   {memory:.0f} MB with all of the program")
    kept_status(stock)
    say(f"  the same, kept                             {best(lambda: kept_status(stock))[0]:8.4f} s")
    say(f"  asking whether the pedigree has changed    {best(pedigree_revision)[0]:8.5f} s")
    tell_two_tags(big_stock.two_tagged())
    plain_seconds, plain = best(lambda: plain_status.status_of(stock, SAMPLE), times=1)
    say(f"plain way, {SAMPLE} fish for the {plain.living:,} living  {plain_seconds:8.3f} s")
    say(f"mean F: {found.headline.inbreeding:.9f}, the plain way {plain.inbreeding:.9f}")
    ratio = plain_seconds / seconds
    say(f"{ratio:.1f} times ahead")
    return int(ratio < LEAST_RATIO or abs(found.headline.inbreeding - plain.inbreeding) > 1e-9)


def tell_two_tags(codes: tuple[str, str]) -> None:
    """Say how long it takes from two scanned codes to the kinship of their fish."""
    taken, kinship = best(lambda: kinship_of_scanned(*codes), times=20)
    say(f"two scanned tags to their kinship, {kinship:.4f}    {taken:8.4f} s")


def kinship_of_scanned(one: str, other: str) -> float:
    """Return the kinship of the fish that bear two codes, out of the database with nothing kept."""
    from registry.models import Fish  # noqa: PLC0415
    from registry.queries.crosses.pairs import kinship_of_pairs  # noqa: PLC0415
    from registry.queries.identity.find import fish_meant  # noqa: PLC0415

    numbers = [hit.number for code in (one, other) for hit in fish_meant(code)]
    a, b = (key for _, key in sorted(Fish.objects.filter(number__in=numbers).values_list("number", "pk")))
    return kinship_of_pairs([(a, b)])[a, b]


def best(task: Callable[[], Any], times: int = 5) -> tuple[float, Any]:
    """Return the least seconds of some runs, and what the last one found."""
    taken, found = [], None
    for _ in range(times):
        started = time.perf_counter()
        found = task()
        taken.append(time.perf_counter() - started)
    return min(taken), found


def say(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    kept = Path(tempfile.gettempdir()) / "scute-benchmark-stock"
    parser.add_argument("--folder", type=Path, default=kept, help=f"where the register is kept (default {kept})")
    parser.add_argument("--fish", type=int, default=1_000_000, help="about how many fish (default 1,000,000)")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
