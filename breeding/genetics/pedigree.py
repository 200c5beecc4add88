"""One pedigree type for everything: parentage as a distribution, told once per family, parents before young."""

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import networkx as nx
import numpy as np

from breeding.genetics.engine.breeders import Breeders, compile_breeders
from breeding.genetics.engine.families import Families, certain_families, group_pairs
from breeding.genetics.engine.rows import collect
from breeding.genetics.errors import PedigreeError, UnknownFishError
