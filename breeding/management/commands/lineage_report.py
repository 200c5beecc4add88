"""Genetics of any pedigree file: file in, folder out, no database."""

import gc
import json
import sys
from argparse import ArgumentTypeError
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from tqdm import tqdm

from breeding.genetics.csv_files.lineage import Answer, Question, answer, write_answer
from breeding.genetics.csv_files.reading import FileRefused, Reason
from breeding.genetics.errors import PedigreeError
from breeding.management.options import (
    WRONG_USE,
    add_genetic_options,
    add_output_options,
    check_output,
    file,
    refusal,
)

STEPS = 6
DELAY = 1  # seconds


def drops(text: str) -> int:
    if int(text) < 2:
        raise ArgumentTypeError(f"{text} drops are too few; ask for 2 or more")
    return int(text)


def seed(text: str) -> int:
    if int(text) < 0:
        raise ArgumentTypeError(f"{text} is negative; give a whole number from 0")
    return int(text)


@contextmanager
def _no_collector() -> Iterator[None]:
    """Everything read is kept until the end, so looking for garbage in it only costs time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


class Command(BaseCommand):
    """Kinship, inbreeding and diversity of a pedigree file."""

    help = (
        "Computes inbreeding, kinship, mean kinship, founder contributions and retention of a pedigree file "
        "(columns id, dam, sire; optional sex, year, origin, probability, draw, dam_copies, sire_copies, "
        "dam_double_reduction, sire_double_reduction). Needs no database."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("pedigree", type=file, metavar="PEDIGREE.csv")
        add_output_options(parser)
        parser.add_argument("--living", type=file, metavar="FILE", help="living fish, one id a line (default: all)")
        parser.add_argument(
            "--kinship-of",
            type=file,
            metavar="FILE",
            help="fish of kinship.csv (default: the living, if at most 2,000)",
        )
        add_genetic_options(parser)
        parser.add_argument("--drops", type=drops, default=10_000, metavar="N", help="gene drops")
        parser.add_argument("--seed", type=seed, default=1, metavar="S", help="the same seed gives the same result")

    def handle(self, *_: Any, **options: Any) -> None:
        check_output(options)
        question = Question(**{name: options[name] for name in Question.__dataclass_fields__})
        try:
            with _no_collector():
                told = self._work(question, options["out"])
        except FileRefused as error:
            raise refusal(self.stdout, error.reasons, as_json=options["json"]) from error
        except PedigreeError as error:
            reasons = [Reason(question.pedigree.name, None, str(error))]
            raise refusal(self.stdout, reasons, as_json=options["json"]) from error
        except OSError as error:
            place = error.filename or options["out"]
            raise CommandError(f"Cannot use {place}: {error.strerror}.", returncode=WRONG_USE) from error
        self._print(told, options["out"], as_json=options["json"])

    def _work(self, question: Question, out: Path | None) -> Answer:
        # Appears only if a person is watching work that takes more than a second.
        with tqdm(total=STEPS, delay=DELAY, disable=not sys.stderr.isatty(), leave=False, file=sys.stderr) as bar:

            def progress(step: str | None) -> None:
                if step is not None:
                    bar.set_description(step, refresh=False)
                    bar.update()
                elif bar.format_dict["elapsed"] > DELAY:
                    bar.refresh()

            told = answer(question, progress)
            if out is not None:
                write_answer(told, out, progress)
        return told

    def _print(self, told: Answer, out: Path | None, *, as_json: bool) -> None:
        if as_json:
            self.stdout.write(json.dumps(told.summary, ensure_ascii=False, indent=2, allow_nan=False))
            return
        summary = told.summary
        self.stdout.write(
            f"{summary['fish']} fish, {summary['founders']} founders, {summary['living']} living.\n"
            f"Mean kinship {summary['mean_kinship']:.6f} (self included), "
            f"gene diversity {summary['gene_diversity']:.6f}, "
            f"mean inbreeding of the living {summary['mean_inbreeding_of_living']:.6f}."
        )
        self.stdout.write("\n".join([*told.notes, f"Written to {out}."]))
