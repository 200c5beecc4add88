"""How long verify_journal takes on a journal of 100,000 entries, beside a plain SHA-256 over the same bodies in order.

    python -m tests.benchmarks.journal [--folder FOLDER] [--entries N]

Prints seconds, the ratio and the highest memory of the process before and after. The register is built once.
"""

import argparse
import hashlib
import os
import resource
import sys
import tempfile
import time
from pathlib import Path


def main() -> int:
    """Build the register unless the folder holds it already, verify it, and say how long that took."""
    asked = _arguments()
    os.environ["SCUTE_DATA"] = str(asked.folder)
    os.environ["DJANGO_SETTINGS_MODULE"] = "registry.settings"
    import django  # noqa: PLC0415  (the folder comes first)

    django.setup()
    from registry.journal.verify import verify  # noqa: PLC0415
    from tests.benchmarks.support.big_river import ensure  # noqa: PLC0415

    for told in ensure(asked.entries // 10, asked.entries):
        say(told)
    plain_s, entries = plain_walk()
    before = memory_mb()
    started, worked = time.perf_counter(), time.process_time()
    report = verify()
    taken_s, worked_s = time.perf_counter() - started, time.process_time() - worked
    say(f"{entries:,} entries, {report.rows:,} rows; sound: {report.sound}")
    say(f"plain SHA-256 over the bodies in order: {plain_s:.2f} s of work")
    say(f"chain, records, parentage, balances, files, guards: {taken_s:.2f} s ({worked_s:.2f} s of work)")
    say(f"that is {worked_s / plain_s:.1f} times the work")
    say(f"memory: {before} MB before, {memory_mb()} MB at the most")
    return 0 if report.sound else 1


def plain_walk() -> tuple[float, int]:
    """Return the seconds of work for reading every body in order and hashing it, and how many there are."""
    from registry.models import JournalEntry  # noqa: PLC0415

    started, count, running = time.process_time(), 0, b""
    for body in JournalEntry.objects.order_by("seq").values_list("body", flat=True).iterator(chunk_size=2000):
        running = hashlib.sha256(running + body.encode()).digest()
        count += 1
    return time.process_time() - started, count


def memory_mb() -> int:
    """Return the most memory that this process has held so far."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def say(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    kept = Path(tempfile.gettempdir()) / "scute-benchmark-journal"
    parser.add_argument("--folder", type=Path, default=kept, help=f"where the register is kept (default {kept})")
    parser.add_argument("--entries", type=int, default=100_000, help="how many entries (default 100,000)")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
