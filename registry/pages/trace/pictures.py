"""The picture of a lineage, and how its certainty is said."""

from django.utils.safestring import SafeString, mark_safe

from breeding.figures.lineage_tree import LARGEST_TREE, LineageNode, LineageStep, lineage_tree
from registry.queries.trace.lineage import Level, Lineage, Node
from registry.rules.days import spoken
from registry.web.links import address

SAID = {
    Level.GENOTYPE: "Proved by genotype: every step rests on genotyping or better evidence.",
    Level.PROVED: "Proved: recorded single crosses, each fish tagged before any mixing, its tags unbroken since.",
    Level.SUPPORTED: "Supported: at least one step rests on the books of a batch or on pooled milt, with the "
    "probability named.",
    Level.ASSERTED: "Asserted: at least one step rests on the written record alone.",
}


def picture(lineage: Lineage) -> SafeString | None:
    """Return the tree as SVG; None when it holds more records than one picture can show."""
    if len(lineage.nodes) > LARGEST_TREE:
        return None
    nodes = [
        LineageNode(node.key, node.number, node.kind, _short(node), address(node.kind, _linked(node)))
        for node in lineage.nodes.values()
    ]
    steps = [LineageStep(step.source, step.origin, float(min(step.probability, 1))) for step in lineage.steps]
    return mark_safe(lineage_tree(nodes, steps, lineage.start))  # noqa: S308  (the picture escapes its words)


def _linked(node: Node) -> str:
    return "" if node.key.startswith("unknown") else node.number


def _short(node: Node) -> str:
    if node.on:
        return spoken(node.on)
    if node.kind == "fish" and not node.key.startswith("unknown"):
        return f"founder, {node.about.split(', ')[0]}" if node.founder else node.about.split(", ")[0]
    return ""


def certainty(lineage: Lineage) -> dict[str, object] | None:
    """Return the level of the whole lineage in words, and the evidence of its weakest steps, each once."""
    level = lineage.level
    if level is None:
        return None
    weakest = dict.fromkeys(step.evidence for step in lineage.steps if step.level == level)
    return {"word": level.word, "said": SAID[level], "weakest": list(weakest)[:6] if level < Level.PROVED else []}
