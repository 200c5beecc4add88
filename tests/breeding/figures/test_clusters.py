"""Relatives stand beside each other; too many are gathered, the loosest branch is opened first."""

from itertools import pairwise

import numpy as np
import pytest
from scipy.cluster.hierarchy import leaves_list, linkage
from scipy.spatial.distance import squareform

from breeding.figures.clusters import Cluster, Clusters, between

# Two families of three full sibs and a stranger, mixed: 0, 2, 4 and 1, 3, 5; 6 alone.
FAMILY = [0, 1, 0, 1, 0, 1, 2]


def families() -> np.ndarray:
    same = np.equal.outer(FAMILY, FAMILY)
    return np.where(np.eye(7, dtype=bool), 0.5, np.where(same, 0.25, 0.0))


def test_sibs_stand_beside_each_other() -> None:
    order = [row for cluster in Clusters(families()).cut(7) for row in cluster.rows]
    assert sorted(order) == list(range(7))
    together = [FAMILY[row] for row in order]
    assert sum(a != b for a, b in pairwise(together)) == 2


def test_the_order_is_that_of_the_library() -> None:
    random = np.random.default_rng(1)
    kinship = random.random((12, 12))
    kinship = kinship + kinship.T
    order = [row for cluster in Clusters(kinship).cut(12) for row in cluster.rows]
    apart = kinship.max() - kinship
    np.fill_diagonal(apart, 0)
    # Average linkage of scipy, read from the same distances.
    assert order == leaves_list(linkage(squareform(apart), "average")).tolist()


def test_too_many_rows_are_gathered_by_family() -> None:
    parts = Clusters(families()).cut(3)
    assert sorted(sorted(part.rows) for part in parts) == [[0, 2, 4], [1, 3, 5], [6]]


def test_a_branch_opens_to_its_own_rows_alone() -> None:
    tree = Clusters(families())
    (family,) = [part for part in tree.cut(3) if 0 in part.rows]
    assert sorted(row for part in tree.cut(7, family.node) for row in part.rows) == [0, 2, 4]


@pytest.mark.parametrize("node", [-1, 99])
def test_a_branch_that_is_not_there_gives_all(node: int) -> None:
    assert len(Clusters(families()).cut(7, node)) == 7


def test_one_row_is_one_cluster() -> None:
    assert Clusters(np.array([[0.5]])).cut(60) == [Cluster(0, (0,))]


def test_unrelated_rows_are_all_told_apart() -> None:
    assert len(Clusters(np.eye(9) / 2).cut(60)) == 9


def test_kinship_between_clusters_is_the_mean_over_their_fish() -> None:
    kinship = np.array([[0.5, 0.25, 0.0], [0.25, 0.5, 0.125], [0.0, 0.125, 0.5]])
    mean = between(kinship, [Cluster(0, (0, 1)), Cluster(1, (2,))], np.array([1.0, 3.0, 1.0]))
    assert mean[0, 1] == pytest.approx(0.125 * 3 / 4)
    assert mean[0, 0] == pytest.approx((0.5 + 9 * 0.5 + 2 * 3 * 0.25) / 16)
    assert mean[1, 1] == 0.5
