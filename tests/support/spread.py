"""Which tests a worker gets together, and which are begun first."""

import pytest
from xdist.remote import Producer
from xdist.scheduler import LoadScopeScheduling

# One site and one browser serve all journeys.
JOURNEYS = "tests/journeys/"
# What takes longest is begun first: begun last, one worker would still be at it while the others have nothing to do.
LONGEST = (
    JOURNEYS,
    "tests/registry/pages/test_absurd_numbers.py",
    "tests/registry/demo/test_demo.py",
    "tests/breeding/genetics/test_second_opinion.py",
    "tests/breeding/pages/crosses/workbench/test_best.py",
    "tests/registry/pages/test_query_counts.py",
)


class ByFile(LoadScopeScheduling):
    """Gives a worker whole files, so that what a file builds for its tests is built once, on one worker."""

    def _split_scope(self, nodeid: str) -> str:
        return part_of(nodeid)

    def _assign_work_unit(self, node: object) -> None:
        longest = next((part for part in LONGEST if part in self.workqueue), None)
        if longest:
            self.workqueue.move_to_end(longest, last=False)
        super()._assign_work_unit(node)


def part_of(nodeid: str) -> str:
    """Return the name of what a test is given out with: its file, or all the journeys."""
    return JOURNEYS if nodeid.startswith(JOURNEYS) else nodeid.split("::", 1)[0]


def pytest_xdist_make_scheduler(config: pytest.Config, log: Producer) -> ByFile:
    """Take the place of the scheduler that the command line names."""
    return ByFile(config, log)
