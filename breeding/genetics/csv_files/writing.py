"""Results as plain files: all of them, or none."""

import csv
import json
import os
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path


class Folder:
    """A folder that is filled all at once: files are written aside and moved in when the last one is complete.

    Use as a context; an error inside leaves the folder as it was.
    """

    def __init__(self, path: Path) -> None:
        self.path = path

    def __enter__(self) -> "Folder":
        self.path.mkdir(parents=True, exist_ok=True)
        self._aside = tempfile.TemporaryDirectory(prefix=".unfinished-", dir=self.path)
        return self

    def __exit__(self, kind: object, *_: object) -> None:
        with self._aside as aside:
            if kind is None:
                for file in sorted(Path(aside).iterdir()):
                    os.replace(file, self.path / file.name)

    def table(self, name: str, heading: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
        """Write a table; numbers in full precision."""
        with (Path(self._aside.name) / name).open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(heading)
            writer.writerows(rows)

    def summary(self, content: dict[str, object]) -> None:
        """Write the figures that are one number each."""
        text = json.dumps(content, ensure_ascii=False, indent=2, allow_nan=False)
        (Path(self._aside.name) / "summary.json").write_text(text + "\n", encoding="utf-8")
