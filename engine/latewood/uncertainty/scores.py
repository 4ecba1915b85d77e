"""Which normal scores does an unknown take? The equally probable scores, and the order each path puts them in."""

import hashlib
from functools import lru_cache
from statistics import NormalDist
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Values: TypeAlias = NDArray[np.float64]

DRAWS = 2048
ANCHORS = (0.1, 0.5, 0.9)
Z90 = 1.2815515655446004  # P90 of the standard normal, as SciPy's `norm.ppf` has it
NORMAL = NormalDist()


@lru_cache(maxsize=1)
def probabilities() -> Values:
    """Give the probabilities the draws stand for: the middles of 2048 equal intervals."""
    return _frozen((np.arange(DRAWS) + 0.5) / DRAWS)


@lru_cache(maxsize=1)
def _scores() -> Values:
    lower = [NORMAL.inv_cdf(p) for p in probabilities()[: DRAWS // 2].tolist()]
    return _frozen(np.array([*lower, *(-z for z in reversed(lower))]))


@lru_cache(maxsize=1)
def all_scores() -> Values:
    """Give the normal scores of the draws and of the anchors, rising."""
    return _frozen(np.sort(np.concatenate((_scores(), [-Z90, 0.0, Z90]))))


@lru_cache(maxsize=1024)
def path_scores(path: str) -> Values:
    """Give the normal scores of the draws in the order of the unknown `path`."""
    # NumPy promises raw streams of a bit generator across versions (NEP 19), not what a Generator makes of them.
    seed = int.from_bytes(hashlib.sha256(path.encode()).digest(), "big")
    return _frozen(_scores()[np.argsort(np.random.PCG64(seed).random_raw(DRAWS), kind="stable")])


def ranked(values: Values, draws: Values) -> Values:
    """Give each of the draws the one of the sorted values that has its rank."""
    return values[np.argsort(np.argsort(draws, kind="stable"))]


def ranked_scores(draws: Values) -> Values:
    """Give each of the draws the normal score of its rank among them."""
    return ranked(_scores(), draws)


def _frozen(values: Values) -> Values:
    values.setflags(write=False)
    return values
