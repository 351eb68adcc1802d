"""Reference numbers for the statistics of uncertain quantities, from general-purpose peers.

Sensitivity indices of Ishigami's function (SALib, scipy.stats.sobol_indices), quantiles and
moments of distributions, and intervals of proportions (scipy.stats). The Rust test
`sim/tests/all/spread/peers.rs` reads the table that this writes; it needs no Python itself.

To make the table anew (made with numpy 2.4.6, scipy 1.17.1, SALib 1.6.0):

    python3 -m venv /tmp/peers && /tmp/peers/bin/pip install numpy scipy SALib
    /tmp/peers/bin/python tests/peers/sobol_reference.py > tests/peers/sobol_reference.csv

Columns: what is told, of which case, at which argument, its value.
"""

import math

import numpy as np
from SALib.analyze import sobol as salib_analyze
from SALib.sample import sobol as salib_sample
from scipy import integrate, optimize, stats

SHARES = [1e-12, 1e-6, 1e-3, 0.025, 0.2, 0.49, 0.5, 0.7, 0.975, 0.999, 1 - 1e-6]
Z95 = stats.norm.ppf(0.975)


def tell(what, case, argument, value):
    print(f"{what},{case},{float(argument)!r},{float(value)!r}")


def tell_distribution(case, frozen, shares=SHARES):
    for p in shares:
        tell("quantile", case, p, frozen.ppf(p))
    for x in frozen.ppf([0.01, 0.3, 0.6, 0.95]):
        tell("cdf", case, x, frozen.cdf(x))
    tell("mean", case, 0, frozen.mean())
    tell("deviation", case, 0, frozen.std())


def distributions():
    tell_distribution("normal 1.5 0.2", stats.norm(1.5, 0.2))
    tell_distribution("rectangular -1 3", stats.uniform(-1, 4))
    tell_distribution("triangular -1 0.5 2", stats.triang(0.5, -1, 3))
    tell_distribution("triangular 0 0 2", stats.triang(0, 0, 2))
    tell_distribution("arcsine -0.5 0.5", stats.arcsine(-0.5, 1))
    for median, factor in [(0.2, 3.0), (4.0, 1.1)]:
        frozen = stats.lognorm(math.log(factor) / Z95, scale=median)
        tell_distribution(f"lognormal {median} {factor}", frozen)
    for v, centre, scale in [(2.5, 0, 1), (5, 0, 4), (18, 100, 25), (200, -3, 0.1), (1000, 0, 1)]:
        tell_distribution(f"t {v} {centre} {scale}", stats.t(v, centre, scale))
    for a, b in [(-1.0, 2.0), (0.0, 9.0), (1.5, 1.75), (4.0, 6.0), (8.0, 9.0), (-12.0, -10.0)]:
        tell_distribution(
            f"normal 2 3 within {2 + 3 * a} {2 + 3 * b}", stats.truncnorm(a, b, 2, 3)
        )
    truncated_t()
    trapezoid(-1.0, 1.0, 0.1)
    trapezoid(-0.05, 0.05, 0.025)
    trapezoid(2.0, 4.0, 1.0)


def truncated_t():
    """Student's t of 4 degrees at 1, scale 2, cut off below 0."""
    whole, case = stats.t(4, 1, 2), "t 4 1 2 within 0 inf"
    left = whole.sf(0)
    for p in SHARES:
        tell("quantile", case, p, whole.isf(left * (1 - p)))
    # Over the share, from the top: x = isf(left * q), with q = s^8 to tame the end.
    moment = lambda of: integrate.quad(
        lambda s: of(whole.isf(left * s**8)) * 8 * s**7, 0, 1, epsabs=0, epsrel=1e-11, limit=500
    )[0]
    mean = moment(lambda x: x)
    tell("mean", case, 0, mean)
    tell("deviation", case, 0, math.sqrt(moment(lambda x: (x - mean) ** 2)))


def trapezoid(a, b, d):
    """Curvilinear trapezoid as a mixture of rectangles over the inexact lower limit."""
    case = f"curvilinear {a} {b} {d}"

    def cdf(x):
        rectangle = lambda low: min(max((x - low) / (a + b - 2 * low), 0.0), 1.0)
        kinks = sorted(k for k in (x, a + b - x) if a - d < k < a + d)
        ends = [a - d, *kinks, a + d]
        parts = [
            integrate.quad(rectangle, low, high, epsabs=1e-15, epsrel=1e-12, limit=200)[0]
            for low, high in zip(ends, ends[1:])
        ]
        return sum(parts) / (2 * d)

    for x in np.linspace(a - 0.9 * d, b + 0.9 * d, 9):
        # A limit in the very middle has a rectangle without width.
        if abs(x - (a + b) / 2) > 1e-9:
            tell("cdf", case, x, cdf(x))
    for p in [1e-3, 0.025, 0.2, 0.4, 0.7, 0.975]:
        tell("quantile", case, p, optimize.brentq(lambda x: cdf(x) - p, a - d, b + d, xtol=1e-15))


def proportions():
    for k, n in [(0, 10), (1, 10), (7, 20), (20, 20), (950, 1000), (99_990, 100_000)]:
        for level in [0.9, 0.95, 0.99]:
            found = stats.binomtest(k, n)
            for kind, method in [("wilson", "wilson"), ("clopper_pearson", "exact")]:
                interval = found.proportion_ci(level, method)
                tell(f"{kind}_lower", f"{k} {n}", level, interval.low)
                tell(f"{kind}_upper", f"{k} {n}", level, interval.high)


def ishigami(x):
    return np.sin(x[0]) + 7 * np.sin(x[1]) ** 2 + 0.1 * x[2] ** 4 * np.sin(x[0])


def indices():
    """The argument is the group: quantities 0, 1, 2; in the grouped study, 0 is {x1, x3}."""
    uniform = stats.uniform(-math.pi, 2 * math.pi)
    found = stats.sobol_indices(
        func=ishigami, n=2**16, dists=[uniform] * 3, rng=np.random.default_rng(1)
    )
    for i in range(3):
        tell("first", "scipy", i, found.first_order[i])
        tell("total", "scipy", i, found.total_order[i])
    for case, groups in [("salib", None), ("salib grouped", ["outer", "inner", "outer"])]:
        problem = {"num_vars": 3, "names": ["x1", "x2", "x3"], "bounds": [[-math.pi, math.pi]] * 3}
        if groups:
            problem["groups"] = groups
        sample = salib_sample.sample(problem, 2**16, calc_second_order=False, seed=1)
        found = salib_analyze.analyze(
            problem, ishigami(sample.T), calc_second_order=False, num_resamples=2, seed=1
        )
        for i, (first, total) in enumerate(zip(found["S1"], found["ST"])):
            tell("first", case, i, first)
            tell("total", case, i, total)


print("what,case,argument,value")
distributions()
proportions()
indices()
