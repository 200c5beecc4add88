"""Long lists cut into parts that one statement takes."""

from collections.abc import Iterable, Iterator

CHUNK = 10_000


def chunks(values: Iterable) -> Iterator[list]:
    """Cut values into lists short enough for one statement."""
    listed = list(values)
    for start in range(0, len(listed), CHUNK):
        yield listed[start : start + CHUNK]
