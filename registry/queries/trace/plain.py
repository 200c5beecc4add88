"""A trace as plain values for JSON."""

from typing import Any

from registry.queries.trace.down import Offspring
from registry.queries.trace.lineage import Lineage, Written
from registry.queries.trace.water import Reached


def lineage_as_plain(lineage: Lineage) -> dict[str, Any]:
    """Return a lineage as plain values; probabilities as text, moments as ISO with their zone."""
    return {
        "direction": "up",
        "start": lineage.start,
        "certainty": lineage.level.word if lineage.level is not None else None,
        "founders": [node.number for node in lineage.founders],
        "records": [
            {
                "key": node.key,
                "kind": node.kind,
                "number": node.number,
                "about": node.about,
                "founder": node.founder,
                "tags": node.tags,
                "entry": _entry(node.written),
                "corrections": [_entry(one) for one in node.corrections],
            }
            for node in lineage.nodes.values()
        ],
        "steps": [
            {
                "source": step.source,
                "origin": step.origin,
                "role": step.role,
                "probability": f"{step.probability:.12f}".rstrip("0").rstrip("."),
                "certainty": step.level.word,
                "evidence": step.evidence,
                "entry": _entry(step.written),
            }
            for step in lineage.steps
        ],
    }


def _entry(written: Written | None) -> dict[str, Any] | None:
    if written is None:
        return None
    return {
        "seq": written.seq,
        "what": written.what,
        "who": written.who,
        "happened_at": written.happened_at.isoformat(),
        "entered_at": written.entered_at.isoformat(),
        "reason": written.reason,
    }


def offspring_as_plain(kind: str, number: str, offspring: Offspring) -> dict[str, Any]:
    """Return what came of a record as plain values."""
    return {
        "direction": "down",
        "start": f"{kind} {number}",
        "fish": offspring.fish,
        "generations": [
            [
                {"family": b.family, "probability": str(b.probability), "evidence": b.basis, "fish": b.fish}
                for b in broods
            ]
            for broods in offspring.generations
        ],
        "batches": [_reached(one) for one in offspring.water.batches],
        "releases": [_reached(one) for one in offspring.water.releases],
        "recaptures": [
            {
                "number": one.number,
                "day": one.recaptured_on.isoformat(),
                "fish": one.fish.number if one.fish else None,
                "release": one.release.number if one.release else None,
                "link": one.link,
            }
            for one in offspring.water.recaptures
        ],
    }


def _reached(one: Reached) -> dict[str, Any]:
    return {
        "number": one.number,
        "day": one.day.isoformat(),
        "fish": one.fish,
        "share": None if one.share is None else str(one.share),
        "batch": one.batch,
        "place": one.place,
    }
