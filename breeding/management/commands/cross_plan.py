"""The best crosses of a season for any pedigree file: files in, folder out, no database."""

import json
import math
import signal
import sys
from argparse import ArgumentTypeError
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from tqdm import tqdm

from breeding.genetics.csv_files.reading import FileRefused, Reason
from breeding.genetics.errors import PedigreeError
from breeding.management.options import (
    REFUSED,
    WRONG_USE,
    add_genetic_options,
    add_output_options,
    check_output,
    file,
    refusal,
    share,
)
from breeding.planning.csv_files.report import blocking_of, summary_of, write_blocking, write_plan
from breeding.planning.csv_files.season import Asked, Season, read_season
from breeding.planning.feasible import InfeasibleError
from breeding.planning.plan import Effort, Plan, Progress, best_plan

DELAY = 1  # seconds


def _number(text: str) -> int:
    value = int(text)
    if value < 1:
        raise ArgumentTypeError(f"{text} is too few; ask for 1 or more")
    return value


def _price(text: str) -> float:
    value = float(text)
    if not math.isfinite(value) or value < 0:
        raise ArgumentTypeError(f"{text} is no price; give a number from 0")
    return value


def _seconds(text: str) -> float:
    value = float(text)
    if not math.isfinite(value) or value <= 0:
        raise ArgumentTypeError(f"{text} is no time; give seconds above 0")
    return value


def _weight(text: str) -> float:
    value = share(text)
    if value == 0:
        raise ArgumentTypeError("the young would have no weight; give a number above 0, up to 1")
    return value


class Command(BaseCommand):
    """The crosses that lose least diversity, with the proof."""

    help = (
        "Chooses N crosses among candidate females and males of a pedigree file so that the young keep as much gene "
        "diversity as possible, and says how much better any other plan could be at most. Candidate files hold "
        "id,max_crosses (the number may be empty). Needs no database. Ctrl-C ends the search with the best plan so far."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("pedigree", type=file, metavar="PEDIGREE.csv")
        parser.add_argument("--females", type=file, metavar="FILE", required=True, help="id,max_crosses of the females")
        parser.add_argument("--males", type=file, metavar="FILE", required=True, help="id,max_crosses of the males")
        parser.add_argument("--families", type=_number, metavar="N", required=True, help="how many crosses to plan")
        add_output_options(parser)
        parser.add_argument("--max-per-dam", type=_number, metavar="N", help="crosses of any female at most")
        parser.add_argument("--max-per-sire", type=_number, metavar="N", help="crosses of any male at most")
        parser.add_argument("--max-kinship", type=share, metavar="X", help="kinship of a pair at most")
        parser.add_argument("--forbid", type=file, metavar="FILE", help="dam,sire of pairs that may not be made")
        parser.add_argument("--with-living", type=file, metavar="FILE", help="living fish, one id a line, to count in")
        parser.add_argument(
            "--weight-of-young", type=_weight, metavar="A", help="share of the young in that group, above 0, up to 1"
        )
        parser.add_argument(
            "--inbreeding-price", type=_price, default=0.0, metavar="G", help="price of the mean kinship of the pairs"
        )
        parser.add_argument("--seconds", type=_seconds, default=10.0, metavar="S", help="time to look for better plans")
        add_genetic_options(parser)

    def handle(self, *_: Any, **options: Any) -> None:
        check_output(options)
        if (options["with_living"] is None) != (options["weight_of_young"] is None):
            raise CommandError("Give --with-living and --weight-of-young together, or neither.", returncode=WRONG_USE)
        try:
            asked = read_season(Season(**{name: options[name] for name in Season.__dataclass_fields__}))
            plan = _plan(asked, options["seconds"])
            if options["out"] is not None:
                write_plan(asked, plan, options["out"])
        except FileRefused as error:
            raise refusal(self.stdout, error.reasons, as_json=options["json"]) from error
        except PedigreeError as error:
            reasons = [Reason(options["pedigree"].name, None, str(error))]
            raise refusal(self.stdout, reasons, as_json=options["json"]) from error
        except InfeasibleError as error:
            raise self._infeasible(error, options) from error
        except OSError as error:
            place = error.filename or options["out"]
            raise CommandError(f"Cannot use {place}: {error.strerror}.", returncode=WRONG_USE) from error
        self._print(asked, plan, options)

    def _infeasible(self, error: InfeasibleError, options: Mapping[str, Any]) -> CommandError:
        self.stdout.write(json.dumps(blocking_of(error), ensure_ascii=False, indent=2))
        if options["out"] is not None:
            write_blocking(error, options["out"])
        return CommandError(str(error), returncode=REFUSED)

    def _print(self, asked: Asked, plan: Plan, options: Mapping[str, Any]) -> None:
        summary = summary_of(asked, plan)
        if options["json"]:
            self.stdout.write(json.dumps(summary, ensure_ascii=False, indent=2, allow_nan=False))
            return
        proof = (
            "No plan within these limits is better."
            if plan.proven
            else f"No plan within these limits can be more than {plan.gap:.3%} better."
        )
        told = [
            f"{summary['families']} crosses of {summary['dams_used']} females and {summary['sires_used']} males.",
            f"Objective {plan.figures.objective:.6f}, group coancestry {plan.figures.group_coancestry:.6f}, "
            f"mean expected inbreeding {summary['mean_offspring_inbreeding']:.6f}.",
            proof,
        ]
        self.stdout.write("\n".join([*told, *asked.notes, f"Written to {options['out']}."]))


def _plan(asked: Asked, seconds: float) -> Plan:
    # Appears only if a person is watching work that takes more than a second.
    watched = sys.stderr.isatty()
    with (
        _interrupts() as cancelled,
        tqdm(total=seconds, delay=DELAY, disable=not watched, leave=False, file=sys.stderr, unit="s") as bar,
    ):

        def progress(at: Progress) -> None:
            gap = (at.objective - at.lower_bound) / at.objective if at.objective > 0 else 0.0
            bar.set_description(f"{at.step}, gap {gap:.2%}", refresh=False)
            bar.update(min(bar.format_dict["elapsed"], seconds) - bar.n)

        return best_plan(asked.problem, Effort(seconds, progress, cancelled))


@contextmanager
def _interrupts() -> Iterator[Callable[[], bool]]:
    """Ctrl-C ends the search, not the command; asked whether it was pressed."""
    pressed: list[int] = []
    before = signal.signal(signal.SIGINT, lambda number, _: pressed.append(number))
    try:
        yield lambda: bool(pressed)
    finally:
        signal.signal(signal.SIGINT, before)
