"""How long the pages of a register of 100,000 fish and a million journal entries take, beside plain ones.

    python -m tests.benchmarks.pages [--folder FOLDER]

Every list is measured against Django's ListView and every detail page against its DetailView, with a bare template that
shows the same rows and columns, in the same run. Exit 1 if any takes more than three times as long.
"""

import argparse
import os
import sys
import tempfile
from pathlib import Path

LIMIT = 3.0


def main() -> int:
    """Build the register unless the folder holds it already, measure, and print a line for each page."""
    asked = _arguments()
    os.environ["SCUTE_DATA"] = str(asked.folder)
    os.environ["DJANGO_SETTINGS_MODULE"] = "registry.settings"
    import django  # noqa: PLC0415  (the folder comes first)

    django.setup()
    from django.conf import settings  # noqa: PLC0415

    from tests.benchmarks.support import big_river, site, timing  # noqa: PLC0415

    for told in big_river.ensure(asked.fish, asked.entries):
        say(told)
    settings.ROOT_URLCONF = site.with_plain_ones()
    wanted = [page for page in site.pages() if asked.only in page.name]
    found = [timing.timed(page, asked.requests) for page in wanted]
    for line in timing.lines(found, LIMIT):
        say(line)
    if asked.statements:
        for one in found:
            say(f"{one.page.name}: slowest statement {one.slowest}")
    return int(any(one.ratio and one.ratio > LIMIT for one in found))


def say(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    kept = Path(tempfile.gettempdir()) / "scute-benchmark"
    parser.add_argument("--folder", type=Path, default=kept, help=f"where the register is kept (default {kept})")
    parser.add_argument("--fish", type=int, default=100_000, help="about how many fish (default 100,000)")
    parser.add_argument("--entries", type=int, default=1_000_000, help="how many journal entries (default 1,000,000)")
    parser.add_argument("--requests", type=int, default=15, help="requests a page (default 15)")
    parser.add_argument("--only", default="", help="only pages with this in their name")
    parser.add_argument("--statements", action="store_true", help="show each page's slowest statement")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
