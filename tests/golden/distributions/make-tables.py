"""Writes the golden tables of the distributions, next to this file.

Run with a Python that has mpmath and scipy:  python3 make-tables.py
Every value is computed by mpmath with 30 digits from the integral or series that defines it; scipy only supplies the
starting points of the quantile searches. Written with 17 significant digits, so that reading them back loses nothing.
"""

import json
import pathlib

from mpmath import mp, mpf
from scipy import stats

mp.dps = 30
HERE = pathlib.Path(__file__).parent
PROBABILITIES = [1e-9, 1e-6, 0.0005, 0.005, 0.025, 0.1, 0.3, 0.45, 0.6, 0.8, 0.95, 0.975, 0.995, 0.9995]


def text(x):
    return float(mp.nstr(x, 25))


def lower_and_upper(lower, upper):
    """Both tails; the smaller one is computed, the larger is its complement, both with 30 digits."""
    return (lower, 1 - lower) if lower is not None else (1 - upper, upper)


def beta_tails(x, y, a, b):
    """I_x(a, b) and its complement. y = 1 - x is given apart, so that neither loses digits."""
    if x < a / (a + b):
        return lower_and_upper(mp.betainc(a, b, 0, x, regularized=True), None)
    return lower_and_upper(None, mp.betainc(b, a, 0, y, regularized=True))


def t_tails(t, dof):
    t, dof = mpf(t), mpf(dof)
    if dof > 1e4:
        density = lambda s: mp.exp(mp.loggamma((dof + 1) / 2) - mp.loggamma(dof / 2) - (dof + 1) / 2 * mp.log1p(s * s / dof)) / mp.sqrt(dof * mp.pi)
        upper = mp.quad(density, mp.linspace(abs(t), abs(t) + 12, 13))
    else:
        upper = beta_tails(dof / (dof + t * t), t * t / (dof + t * t), dof / 2, mpf(1) / 2)[0] / 2
    return (1 - upper, upper) if t >= 0 else (upper, 1 - upper)


def f_tails(f, d1, d2):
    f, d1, d2 = mpf(f), mpf(d1), mpf(d2)
    return beta_tails(d1 * f / (d1 * f + d2), d2 / (d1 * f + d2), d1 / 2, d2 / 2)


def chi_square_tails(x, dof):
    x, dof = mpf(x), mpf(dof)
    if x < dof:
        return lower_and_upper(mp.gammainc(dof / 2, 0, x / 2, regularized=True), None)
    return lower_and_upper(None, mp.gammainc(dof / 2, x / 2, mp.inf, regularized=True))


def normal_tails(z):
    z = mpf(z)
    return mp.erfc(-z / mp.sqrt(2)) / 2, mp.erfc(z / mp.sqrt(2)) / 2


def quantile(tails, start, p):
    """x with P(X <= x) = p for the double p, from a start that is already good to some digits."""
    p = mpf(p)
    target = lambda x: mp.log(tails(x)[0] / p) if p < 0.5 else mp.log(tails(x)[1] / (1 - p))
    start = mpf(start)
    return mp.findroot(target, (start, start * (1 + mpf(10) ** -8)), solver="secant", tol=mpf(10) ** -22)


def rows(tails, xs, starts):
    points = [{"x": x, "cdf": text(tails(mpf(x))[0]), "sf": text(tails(mpf(x))[1])} for x in xs]
    quantiles = [{"p": p, "x": text(quantile(tails, start, p))} for p, start in starts if start != 0]
    return {"tails": points, "quantiles": quantiles}


def table(name, parameters, tails, xs, ppf):
    cases = []
    for parameter in parameters:
        own = lambda x, parameter=parameter: tails(x, *parameter)
        starts = [(p, ppf(p, *parameter)) for p in PROBABILITIES]
        cases.append({"parameters": list(parameter), **rows(own, xs(*parameter), starts)})
    return {name: cases}


def main():
    dofs = [0.5, 1, 1.5, 2, 3.3, 4, 8.7, 12, 30.5, 120, 1e4, 1e6, 9e6, 1e9]
    tables = {}
    tables |= table("studentT", [(d,) for d in dofs], t_tails, lambda d: [-9.5, -3.1, -1.0, -0.2, 0.01, 0.7, 2.2, 5.0, 8.0], stats.t.ppf)
    tables |= table(
        "fisherF",
        [(1, 1), (1, 4), (2, 12), (3.3, 2.2), (0.7, 9), (5, 30.5), (6, 8), (12, 200), (40, 3), (2, 1000)],
        f_tails,
        lambda d1, d2: [0.001, 0.05, 0.4, 0.9, 1.6, 4.0, 12.0, 60.0],
        stats.f.ppf,
    )
    tables |= table(
        "beta",
        [(0.5, 0.5), (1, 3), (2, 2), (0.3, 4), (8.7, 1.2), (20, 30), (200, 3), (150.5, 150.5)],
        lambda x, a, b: beta_tails(mpf(x), 1 - mpf(x), mpf(a), mpf(b)),
        lambda a, b: [0.0005, 0.02, 0.2, 0.5, 0.77, 0.97, 0.9995],
        stats.beta.ppf,
    )
    tables |= table(
        "chiSquare",
        [(0.5,), (1,), (2,), (3.7,), (8,), (12.3,), (30.5,), (120,), (900,)],
        chi_square_tails,
        lambda d: [d * r for r in (0.02, 0.3, 0.8, 1.0, 1.3, 2.5)],
        stats.chi2.ppf,
    )
    tables |= table("normal", [()], normal_tails, lambda: [-37.5, -12.0, -8.0, -6.0, -3.3, -1.0, -0.3, 0.0, 0.4, 0.66, 1.96, 4.0, 5.7, 9.0, 25.0], stats.norm.ppf)
    points = [0.01, 0.2, 0.5, 1, 1.5, 2.2, 3, 7.5, 9.99, 10, 25.5, 100, 1e4, 1e8]
    tables["digamma"] = [{"x": x, "value": text(mp.digamma(x))} for x in points]
    tables["trigamma"] = [{"x": x, "value": text(mp.psi(1, x))} for x in points]
    tables["logGamma"] = [{"x": x, "value": text(mp.loggamma(x))} for x in points if x != 1]
    errors = [-5.0, -1.0, -0.3, 1e-9, 0.1, 0.46875, 0.47, 1.0, 2.5, 3.999, 4.001, 6.0, 12.0, 26.0]
    tables["erf"] = [{"x": x, "value": text(mp.erf(x)), "complement": text(mp.erfc(x))} for x in errors]
    (HERE / "distributions.json").write_text(json.dumps(tables, indent=1) + "\n")


if __name__ == "__main__":
    main()
