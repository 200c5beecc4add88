"""Puts close relatives beside each other, and gathers them when they are too many to draw one by one."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.cluster.hierarchy import ClusterNode, linkage, to_tree
from scipy.spatial.distance import squareform


@dataclass(frozen=True)
class Cluster:
    """Some rows of a table that stand together; `node` names the branch of the tree that holds them."""

    node: int
    rows: tuple[int, ...]


class Clusters:
    """The tree of a kinship table: average linkage (UPGMA) over how much closer the closest two are.

    Sokal and Michener 1958, A statistical method for evaluating systematic relationships.
    """

    def __init__(self, kinship: np.ndarray) -> None:
        """Takes kinship, (rows, rows), symmetric; what stands on the diagonal has no say."""
        rows = len(kinship)
        self.nodes: list[ClusterNode] = [ClusterNode(0)]
        if rows > 1:
            apart = kinship.max() - kinship
            np.fill_diagonal(apart, 0.0)
            steps = linkage(squareform((apart + apart.T) / 2, checks=False), "average")
            _, self.nodes = to_tree(steps, rd=True)

    def cut(self, most: int, node: int | None = None) -> list[Cluster]:
        """Returns at most so many clusters below a branch (all rows by default), relatives beside each other.

        The loosest branch is split first, until there are enough or only single rows are left. A branch that the tree
        does not have gives all rows.
        """
        root = self.nodes[node] if node is not None and 0 <= node < len(self.nodes) else self.nodes[-1]
        parts: list[ClusterNode] = [root]
        while len(parts) < most:
            place = max(range(len(parts)), key=lambda at: (parts[at].dist, parts[at].count))
            if parts[place].is_leaf():
                break
            parts[place : place + 1] = [parts[place].get_left(), parts[place].get_right()]
        return [Cluster(int(part.id), tuple(int(row) for row in part.pre_order())) for part in parts]


def between(kinship: np.ndarray, clusters: Sequence[Cluster], counts: np.ndarray) -> np.ndarray:
    """Mean kinship between clusters, (clusters, clusters), each row weighed by how many fish it stands for."""
    weights = np.zeros((len(clusters), len(kinship)))
    for place, cluster in enumerate(clusters):
        rows = list(cluster.rows)
        weights[place, rows] = counts[rows] / counts[rows].sum()
    mean: np.ndarray = weights @ kinship @ weights.T
    return mean
