"""Lognormal fractiles and chances of breaking by scipy, to compare our closed forms with.

    python3 tests/reference/lognormal.py           remake lognormal.json
    python3 tests/reference/lognormal.py --check   compare with it

scipy's `lognorm` is given s and the scale (the median) from the mean and the coefficient of variation
by the moments of the distribution; everything after that is scipy's own.
"""

import math

from scipy import integrate, stats

from store import significant, store


def capacity(mean, cv):
    """The lognormal distribution of this mean and coefficient of variation."""
    s = math.sqrt(math.log1p(cv * cv))
    found = stats.lognorm(s=s, scale=mean / math.sqrt(1 + cv * cv))
    assert math.isclose(found.mean(), mean, rel_tol=1e-12)
    assert math.isclose(found.std(), cv * mean, rel_tol=1e-12)
    return s, found


def fractiles(cv):
    s, found = capacity(1.0, cv)
    values = {f"p{int(100 * p):02d}": significant(found.ppf(p)) for p in (0.01, 0.05, 0.5, 0.95)}
    return {"cv": cv, "s": significant(s), **values}


def risk(cv, ratio):
    """How likely a push of `ratio` times the mean capacity breaks it."""
    return {"cv": cv, "push_over_mean": ratio, "risk": significant(capacity(1.0, cv)[1].cdf(ratio))}


def push_for(cv, p):
    """The push, over the mean capacity, that breaks it with probability p; and its inverse, the margin asked."""
    ratio = capacity(1.0, cv)[1].ppf(p)
    return {"cv": cv, "risk": p, "push_over_mean": significant(ratio), "mean_over_push": significant(1 / ratio)}


def load_and_strength(strength, cv_strength, load, cv_load):
    """Both scattered: by the ratio, which is lognormal too, and by integrating over the load."""
    s_r, r = capacity(strength, cv_strength)
    s_l, l = capacity(load, cv_load)
    beta = math.log(r.median() / l.median()) / math.hypot(s_r, s_l)
    lowest, highest = l.ppf(1e-14), l.isf(1e-14)
    by_integral, _ = integrate.quad(
        lambda q: l.pdf(q) * r.cdf(q), lowest, highest, epsabs=1e-13, epsrel=1e-11, limit=400, points=[l.median(), r.median()]
    )
    exact = stats.norm.cdf(-beta)
    assert math.isclose(by_integral, exact, rel_tol=1e-6), (by_integral, exact)
    return {
        "strength": strength, "cv_strength": cv_strength, "load": load, "cv_load": cv_load,
        "beta": significant(beta), "risk": significant(exact), "risk_by_integration": significant(by_integral, 7),
    }


def main():
    data = {
        "fractiles": [fractiles(cv) for cv in (0.14, 0.16, 0.18, 0.20, 0.25, 0.28, 0.30, 0.32, 0.36)],
        "risks": [risk(cv, ratio) for cv in (0.25, 0.32, 0.38) for ratio in (0.33, 0.5, 0.75, 1.0, 1.25)],
        "margins": [push_for(cv, p) for cv in (0.25, 0.32, 0.38) for p in (0.01, 0.05, 0.20, 0.5)],
        "load_and_strength": [load_and_strength(10, 0.25, 4, 0.30), load_and_strength(10, 0.32, 6, 0.10), load_and_strength(5, 0.16, 2.5, 0.25)],
    }
    about = "Lognormal capacity of mean 1 (fractiles, risks, margins) and a scattered load against it, by scipy; ten significant digits."
    store(__file__, about, ["scipy"], data, depth=2)


if __name__ == "__main__":
    main()
