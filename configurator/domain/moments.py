"""Three-point times and sums of uncertain figures: PERT-beta moments, one common correlation, a lognormal through two moments.

The same hands and the same car make times rise together, so deviations never simply add in quadrature: every pair of
operations carries one common correlation rho.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, log, sqrt

Z10, Z50, Z90 = -1.2815515655446004, 0.0, 1.2815515655446004
"""Quantiles of the standard normal at 0.1, 0.5, 0.9."""


def pert_mean(least: float, usual: float, most: float) -> float:
    """(a + 4 m + b) / 6, the mean of the PERT-beta on [least, most] with its mode at `usual`; any unit."""
    return (least + 4 * usual + most) / 6


def pert_variance(least: float, usual: float, most: float) -> float:
    """(mu - a)(b - mu) / 7: the exact variance of that beta (shape parameters 1 + 4 (m - a)/(b - a) and 1 + 4 (b - m)/(b - a)).

    Not the convention ((b - a) / 6)^2, whose deviation is 4 to 11 % too small for triples such as a shop's.
    """
    mean = pert_mean(least, usual, most)
    return (mean - least) * (most - mean) / 7


def correlated_variance(deviations: Iterable[float], correlation: float) -> float:
    """Variance of a sum: sum s_i^2 + rho sum_{i != j} s_i s_j, for one common correlation rho in [0, 1]."""
    deviations = tuple(deviations)
    alone = sum(deviation * deviation for deviation in deviations)
    return alone + correlation * (sum(deviations) ** 2 - alone)


@dataclass(frozen=True)
class Moments:
    """Mean and variance of a figure; `+` is the sum of two independent ones."""

    mean: float = 0.0
    variance: float = 0.0

    def __add__(self, other: "Moments") -> "Moments":
        return Moments(self.mean + other.mean, self.variance + other.variance)

    @property
    def deviation(self) -> float:
        return sqrt(self.variance)

    def lognormal_quantile(self, z: float) -> float:
        """The quantile at the standard normal's `z` of the lognormal with these moments (0 where the mean is 0).

        v = ln(1 + variance / mean^2), mu = ln(mean) - v / 2, quantile = exp(mu + z sqrt(v)).
        """
        if self.mean <= 0:
            return 0.0
        spread = log(1 + self.variance / self.mean**2)
        return exp(log(self.mean) - spread / 2 + z * sqrt(spread))


def chance(probability: float, cost: float) -> Moments:
    """Moments of a cost that comes with a probability: p c and p (1 - p) c^2 (Bernoulli)."""
    return Moments(probability * cost, probability * (1 - probability) * cost * cost)
