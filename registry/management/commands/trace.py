"""trace CODE: where a fish, tag, family, batch or release comes from, or what came of it."""

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from registry.journal.guard import NO_REGISTER, has_register
from registry.queries.trace.down import Offspring, offspring_of
from registry.queries.trace.lineage import Lineage, Node, chance, unfolded
from registry.queries.trace.plain import lineage_as_plain, offspring_as_plain
from registry.queries.trace.start import advice, starts
from registry.queries.trace.up import lineage_of

MOST_NAMED = 12


class Command(BaseCommand):
    """Traces a record up to founders or down to the river."""

    help = (
        "Traces a fish, tag, family, batch or release: --up (default) to its founders, with the probability and the "
        "evidence of every step; --down to offspring, batches, releases and recaptures. CODE is a register number or a "
        "tag code, if need be after its kind: 'batch B26-01'. Exit 1: no such record, or several."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("code", metavar="CODE", help="tag code or number, if need be after its kind")
        way = parser.add_mutually_exclusive_group()
        way.add_argument("--up", action="store_true", help="to the founders (default)")
        way.add_argument("--down", action="store_true", help="to offspring, batches, releases and recaptures")
        parser.add_argument("--json", action="store_true", help="write JSON")

    def handle(self, *_: Any, **options: Any) -> None:
        if not has_register(connection):
            raise CommandError(NO_REGISTER, returncode=1)
        hits = starts(options["code"])
        if len(hits) != 1:
            raise CommandError(advice(options["code"], hits), returncode=1)
        hit = hits[0]
        if options["down"]:
            offspring = offspring_of(hit.kind, hit.number)
            plain: Any = offspring_as_plain(hit.kind, hit.number, offspring)
            lines = told_down(f"{hit.kind} {hit.number}", offspring)
        else:
            lineage = lineage_of(hit.kind, hit.number)
            plain, lines = lineage_as_plain(lineage), told_up(lineage)
        if hit.why and not options["json"]:
            lines.insert(0, f"{options['code']}: fish {hit.number} {hit.why}.")
        self.stdout.write(json.dumps(plain, ensure_ascii=False, indent=2) if options["json"] else "\n".join(lines))


def told_up(lineage: Lineage) -> list[str]:
    """Return a lineage as indented lines; a record met again is not unfolded twice."""
    lines = [_node(lineage.nodes[lineage.start])]
    for line in unfolded(lineage):
        step, again = line.step, " (see above)" if line.again else ""
        entry = f", entry {step.written.seq} by {step.written.who}" if step.written else ""
        head = f"{'  ' * line.depth}{step.role} {chance(step.probability)}: {_node(lineage.nodes[step.origin])}{again}"
        lines.append(f"{head}  [{step.level.word}: {step.evidence}{entry}]")
    level = f"Weakest step: {lineage.level.word}." if lineage.level is not None else "No origin is recorded."
    return [*lines, "", f"{len(lineage.founders)} founders or first records. {level}"]


def _node(node: Node) -> str:
    name = f"{node.kind} {node.number}" + (f" ({node.about})" if node.about else "")
    tags = f", tag {'; '.join(node.tags)}" if node.tags else ""
    mended = "".join(f"; corrected in entry {one.seq}: {one.reason}" for one in node.corrections)
    return name + tags + mended


def told_down(name: str, offspring: Offspring) -> list[str]:
    """Return what came of a record as lines."""
    releases = len({reached.number for reached in offspring.water.releases})
    lines = [f"{name}: registered fish {offspring.fish:,}, releases {releases:,}."]
    for number, broods in enumerate(offspring.generations, start=1):
        lines.append(f"Generation {number}")
        for brood in broods:
            names = ", ".join(brood.fish[:MOST_NAMED]) + (" …" if len(brood.fish) > MOST_NAMED else "")
            family = f"family {brood.family}" if brood.family else "without a family"
            lines.append(f"  {family} ({chance(brood.probability)}): {len(brood.fish)} fish {names}".rstrip())
    for title, reached in (("Batches", offspring.water.batches), ("Releases", offspring.water.releases)):
        lines += [title] if reached else []
        for one in reached:
            share = "" if one.share is None else f", share {chance(one.share)}"
            out_of = f" out of batch {one.batch}" if one.batch else ""
            head = f"  {one.number}, {one.day.isoformat()}: {one.fish:,} fish{out_of}{share}"
            lines.append(f"{head}, {one.place}" if one.place else head)
    lines += ["Met again"] if offspring.water.recaptures else []
    for met in offspring.water.recaptures:
        lines.append(f"  {met.number}, {met.recaptured_on.isoformat()}, {met.place}: {met.fish or met.release}")
    return lines
