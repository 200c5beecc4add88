"""What a verification found: each finding in words, the first of each kind kept and all of them counted."""

from collections import Counter
from dataclasses import dataclass, field

KEPT_OF_A_KIND = 200


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that does not fit.

    `kind` is gap, link, hash, body, anchor, changed row, unknown row, missing row, parentage, balance, below zero,
    missing file, altered file or guard; `seq` the journal entry, `table` and `record` (its key) the row it is about.
    """

    kind: str
    message: str
    seq: int | None = None
    table: str = ""
    record: int | None = None


@dataclass
class Report:
    """The result of a verification: how far the journal goes, and everything that does not fit."""

    entries: int = 0
    head_seq: int = 0
    head_hash: str = ""
    rows: int = 0
    findings: list[Finding] = field(default_factory=list)
    counts: Counter[str] = field(default_factory=Counter)

    def add(self, finding: Finding) -> None:
        """Count a finding, and keep it unless many of its kind are kept already."""
        self.counts[finding.kind] += 1
        if self.counts[finding.kind] <= KEPT_OF_A_KIND:
            self.findings.append(finding)

    @property
    def sound(self) -> bool:
        """Return whether everything fits."""
        return not self.counts

    @property
    def first_broken(self) -> int | None:
        """Return the number of the first entry at which the chain or its anchor breaks."""
        return min((f.seq for f in self.findings if f.seq is not None), default=None)

    @property
    def left_out(self) -> int:
        """Return how many findings were counted and not kept."""
        return sum(self.counts.values()) - len(self.findings)

    @property
    def anchor(self) -> str:
        """Return what is to be written down: the last entry's number and hash."""
        return f"{self.head_seq}:{self.head_hash}" if self.head_seq else ""
