"""What the commands on plain files have in common: genetic options, where answers go, how a refusal is told."""

import json
from argparse import ArgumentTypeError
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError, CommandParser, OutputWrapper

from breeding.genetics.csv_files.reading import Reason

REFUSED, WRONG_USE = 1, 2


def file(text: str) -> Path:
    """A file that exists."""
    path = Path(text)
    if not path.is_file():
        raise ArgumentTypeError(f"there is no file {text}")
    return path


def share(text: str) -> float:
    """A number from 0 to 1."""
    value = float(text)
    if not 0 <= value <= 1:
        raise ArgumentTypeError(f"{text} does not lie from 0 to 1")
    return value


def add_output_options(parser: CommandParser) -> None:
    """Where the answer goes."""
    parser.add_argument("--out", type=Path, metavar="FOLDER", help="where the tables and summary.json are written")
    parser.add_argument("--json", action="store_true", help="print the summary, or the reasons of a refusal, as JSON")


def add_genetic_options(parser: CommandParser) -> None:
    """How genes are inherited."""
    parser.add_argument("--ploidy", type=int, choices=(2, 4, 6, 8), default=2, help="gene copies of a fish")
    parser.add_argument(
        "--double-reduction", type=share, default=0.0, metavar="X", help="of every gamete of two copies or more"
    )
    parser.add_argument("--two-parents", action="store_true", help="refuse selfing and clones (default: allowed)")
    parser.add_argument("--founder-kinship", type=file, metavar="FILE", help="a,b,kinship of founders that are related")


def check_output(options: Mapping[str, Any]) -> None:
    """Refuse a command that would answer nowhere."""
    if options["out"] is None and not options["json"]:
        raise CommandError("Say where to write with --out FOLDER, or ask for --json.", returncode=WRONG_USE)


def refusal(out: OutputWrapper, reasons: Sequence[Reason], *, as_json: bool) -> CommandError:
    """The error that tells why files are refused; as JSON on the output too, if that is wanted."""
    if as_json:
        told = [reason._asdict() for reason in reasons]
        out.write(json.dumps({"refused": told}, ensure_ascii=False, indent=2))
    return CommandError("\n".join(str(reason) for reason in reasons), returncode=REFUSED)
