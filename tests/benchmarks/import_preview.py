"""How fast a long sheet is previewed and taken in, beside a plain reading of the same file in the same run.

    python -m tests.benchmarks.import_preview [rows]

Works in a data folder of its own. Prints for each kind of sheet the seconds of reading the file with the csv module, of
the preview (by the clock and of this program alone) and their ratio, and the same of writing. Exit 1 if the preview of
10,000 rows takes this program more than ten seconds.
"""

import os
import sys
import tempfile

LIMIT_SECONDS, LIMIT_ROWS = 10, 10_000


def main() -> int:
    """Measure every kind of sheet and print a line for each."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else LIMIT_ROWS
    folder = tempfile.TemporaryDirectory(prefix="scute-benchmark-")
    os.environ["SCUTE_DATA"] = folder.name
    os.environ["DJANGO_SETTINGS_MODULE"] = "registry.settings"
    import django  # noqa: PLC0415  (the folder comes first)

    django.setup()
    from django.core.management import call_command  # noqa: PLC0415

    from tests.benchmarks.support import long_sheets  # noqa: PLC0415

    call_command("migrate", verbosity=0, interactive=False, skip_checks=True)
    say("sheet           rows   csv s  preview s (own)  rows/s   ratio  write s (own)  rows/s")
    slowest = 0.0
    for one in long_sheets.measured(rows):
        slowest = max(slowest, one.preview_own * LIMIT_ROWS / one.rows)
        say(
            f"{one.kind:13}{one.rows:>7}{one.plain:>8.3f}{one.preview:>9.2f} ({one.preview_own:.2f})"
            f"{one.rows / one.preview_own:>9.0f}{one.preview_own / one.plain:>8.0f}"
            f"{one.write:>9.2f} ({one.write_own:.2f}){one.rows / one.write_own:>7.0f}"
        )
    say(f"Slowest: {slowest:.1f} s for {LIMIT_ROWS:,} rows; the limit is {LIMIT_SECONDS} s.")
    folder.cleanup()
    return int(slowest > LIMIT_SECONDS)


def say(line: str) -> None:
    """Print a line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
