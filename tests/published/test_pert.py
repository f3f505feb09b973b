"""Three-point times, lognormals and correlated sums against published and independently computed figures."""

from math import exp, log, sqrt

import pytest
from scipy import stats

from configurator.domain.moments import Z10, Z50, Z90, Moments, correlated_variance, pert_mean, pert_variance

NETWORK = {
    "A": ((), 1, 2, 3),
    "B": (("A",), 2, 3.5, 8),
    "C": (("B",), 6, 9, 18),
    "D": (("C",), 4, 5.5, 10),
    "E": (("C",), 1, 4.5, 5),
    "F": (("E",), 4, 4, 10),
    "G": (("D",), 5, 6.5, 11),
    "H": (("E", "G"), 5, 8, 17),
    "I": (("C",), 3, 7.5, 9),
    "J": (("F", "I"), 3, 9, 9),
    "K": (("J",), 4, 4, 4),
    "L": (("J",), 1, 5.5, 7),
    "M": (("H",), 1, 2, 3),
    "N": (("K", "L"), 5, 5.5, 9),
}
"""House-building network (Hillier and Lieberman, Introduction to Operations Research, chapter on PERT/CPM), from memory."""


def _finish(activity: str) -> float:
    before, *triple = NETWORK[activity]
    return max((_finish(other) for other in before), default=0.0) + pert_mean(*triple)


def test_published_network_has_its_published_critical_path() -> None:
    """Mean critical path A-B-C-E-F-J-L-N = 44, variance 9, P(finish <= 47) = Phi(1) = 0.84 (Hillier and Lieberman)."""
    path = "ABCEFJLN"
    triples = [NETWORK[activity][1:] for activity in path]
    assert max(_finish(activity) for activity in NETWORK) == pytest.approx(44.0)
    assert sum(pert_mean(*triple) for triple in triples) == pytest.approx(44.0)
    by_convention = [(most - least) / 6 for least, _, most in triples]
    variance = correlated_variance(by_convention, correlation=0.0)
    assert variance == pytest.approx(9.0)
    assert stats.norm.cdf((47 - 44) / sqrt(variance)) == pytest.approx(0.8413, abs=5e-5)


@pytest.mark.parametrize(("least", "usual", "most"), [(2, 3, 8), (4, 6, 10), (1, 2, 3), (0.72, 1.0, 1.9), (5, 5, 9), (12, 18, 35)])
def test_moments_are_those_of_the_pert_beta(least: float, usual: float, most: float) -> None:
    """Mean and variance of scipy's beta with shape parameters 1 + 4(m-a)/(b-a) and 1 + 4(b-m)/(b-a) on [a, b]."""
    width = most - least
    beta = stats.beta(1 + 4 * (usual - least) / width, 1 + 4 * (most - usual) / width, loc=least, scale=width)
    assert pert_mean(least, usual, most) == pytest.approx(beta.mean())
    assert pert_variance(least, usual, most) == pytest.approx(beta.var())


def test_exact_variance_is_not_the_convention() -> None:
    """For (2, 3, 8) the convention ((b - a) / 6)^2 gives 1, the beta itself 1.0317 (computed with scipy 1.17)."""
    assert pert_variance(2, 3, 8) == pytest.approx(1.0317, abs=5e-5)


@pytest.mark.parametrize("z", [Z10, Z50, Z90])
@pytest.mark.parametrize(("mean", "deviation"), [(10, 3), (648.6206, 98.0347), (1, 2.5)])
def test_lognormal_quantiles_agree_with_scipy(mean: float, deviation: float, z: float) -> None:
    spread = sqrt(log(1 + (deviation / mean) ** 2))
    reference = stats.lognorm(s=spread, scale=exp(log(mean) - spread**2 / 2))
    assert reference.mean() == pytest.approx(mean)
    assert Moments(mean, deviation**2).lognormal_quantile(z) == pytest.approx(reference.ppf(stats.norm.cdf(z)))


def test_lognormal_of_mean_ten_and_deviation_three() -> None:
    """mu = 2.259496, sigma = 0.293560; P10 6.5751, P50 9.5783, P90 13.9532 (reckoned by hand from the definition)."""
    ten = Moments(10.0, 9.0)
    assert [round(ten.lognormal_quantile(z), 4) for z in (Z10, Z50, Z90)] == [6.5751, 9.5783, 13.9532]


@pytest.mark.parametrize(("correlation", "deviation"), [(0.0, 2.0), (0.2, 2.5298), (0.5, 3.1623), (1.0, 4.0)])
def test_sum_of_four_alike(correlation: float, deviation: float) -> None:
    """sqrt(n s^2 + n (n - 1) rho s^2) with n = 4, s = 1."""
    assert sqrt(correlated_variance([1.0] * 4, correlation)) == pytest.approx(deviation, abs=5e-5)


@pytest.mark.parametrize(("correlation", "variance"), [(0.0, 1.8125), (0.3, 2.7875), (1.0, 5.0625)])
def test_sum_of_three_unlike(correlation: float, variance: float) -> None:
    """1' C 1 of the covariance matrix with deviations 0.5, 1, 0.75, written out by hand."""
    assert correlated_variance([0.5, 1.0, 0.75], correlation) == pytest.approx(variance)
