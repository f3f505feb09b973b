"""An independent simulation of a job's cost and minutes, for comparing the closed form with.

Each operation's minutes are drawn from its PERT-beta (scipy's beta quantile), made to rise together by a Gaussian copula with one
factor, z_i = sqrt(rho) Z + sqrt(1 - rho) e_i; remakes and broken clips are Bernoulli draws; an unseen car multiplies all labour
by a common lognormal factor of mean 1; film metres have a normal error of their own. Seeded: the same numbers every time.
"""

from dataclasses import dataclass
from functools import cache
from math import log, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from configurator.domain.costing import Costs
from configurator.domain.work import Operation

GRID = np.linspace(-5.0, 5.0, 4001)


@dataclass(frozen=True)
class Sampled:
    cost: NDArray[np.float64]
    minutes: NDArray[np.float64]

    def quantiles(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """P10, P50, P90 of cost and of minutes."""
        shares = [0.1, 0.5, 0.9]
        return np.quantile(self.cost, shares), np.quantile(self.minutes, shares)


@cache
def _shape(place: float) -> NDArray[np.float64]:
    """Quantiles of the PERT-beta on [0, 1] with its mode at `place`, over the normal grid."""
    return stats.beta(1 + 4 * place, 5 - 4 * place).ppf(stats.norm.cdf(GRID))


def _minutes(operation: Operation, z: NDArray[np.float64]) -> NDArray[np.float64]:
    width = operation.most - operation.least
    if width <= 0:
        return np.full(len(z), operation.usual)
    place = round((operation.usual - operation.least) / width, 6)
    return operation.least + width * np.interp(z, GRID, _shape(place))


def simulate(costs: Costs, *, samples: int = 100_000, seed: int = 20270308) -> Sampled:
    random = np.random.default_rng(seed)
    common = random.standard_normal(samples)
    rho = costs.correlation
    labour, minutes = np.zeros(samples), np.zeros(samples)
    for item in costs.hands:
        z = sqrt(rho) * common + sqrt(1 - rho) * random.standard_normal(samples)
        drawn = _minutes(item.operation, z)
        minutes += drawn
        labour += drawn * (item.rate + item.overhead)
    spread = sqrt(log(1 + costs.unseen_cv**2))
    car = np.exp(spread * random.standard_normal(samples) - spread**2 / 2)
    risks = np.zeros(samples)
    for risk in costs.risks:
        if risk.moments.mean > 0:
            probability, cost = _bernoulli(risk.moments.mean, risk.moments.variance)
            risks += cost * (random.random(samples) < probability)
    film = costs.film_total * (1 + costs.film_cv * random.standard_normal(samples))
    return Sampled(costs.fixed - costs.film_total + film + labour * car + risks, minutes * car)


def _bernoulli(mean: float, variance: float) -> tuple[float, float]:
    """The chance and the cost that have these moments: c = mean + variance / mean, p = mean / c."""
    cost = mean + variance / mean
    return mean / cost, cost
