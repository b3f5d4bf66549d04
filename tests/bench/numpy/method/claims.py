"""Claims: p-values, corrections for several of them, judgements (method 7)."""

import numpy as np

from .record import InvalidInput

ALPHA = 0.025
PRIMARY_WEIGHT = 0.8
BAND_CLAIMS = ("everywhere_at_least", "no_loss", "up_to")
SCALAR_CLAIMS = ("at_least", "at_most", "equals_within")
NO_P = (1.0, 1.0)


def validate(claim):
    if claim["type"] not in BAND_CLAIMS + SCALAR_CLAIMS:
        raise InvalidInput(f"no claim of type {claim['type']}")
    if claim["type"] == "no_loss" and not claim["margin"] > 0:
        raise InvalidInput("no_loss needs a margin above 0")


def is_relative(claim):
    return claim.get("unit") == "%"


def on_scale(x, relative):
    """A limit in the units of the analysis: % become logarithms (method 4)."""
    return float(np.log1p(x / 100)) if relative else x


def off_scale(value, relative):
    """A gain or limit of the analysis in the unit of the claim."""
    return 100 * np.expm1(value) if relative else value


def scalar_p(claim, interval):
    """p_S and p_C of a claim on one number (method 7)."""
    relative, x = is_relative(claim), claim["x"]
    if claim["type"] == "equals_within":
        low, high = (on_scale(x + shift, relative) for shift in (-claim["tol"], claim["tol"]))
        support = max(interval.p_at_most(low), interval.p_at_least(high))
        return support, min(1.0, 2 * min(interval.p_at_most(high), interval.p_at_least(low)))
    limit = on_scale(x, relative)
    at_most, at_least = interval.p_at_most(limit), interval.p_at_least(limit)
    return (at_most, at_least) if claim["type"] == "at_least" else (at_least, at_most)


def band_limit(claim):
    return on_scale(-claim["margin"] if claim["type"] == "no_loss" else claim["x"], is_relative(claim))


def band_p(claim, band):
    """p_S and p_C of a claim on a curve (method 7)."""
    z = band.standardised(band_limit(claim))
    if claim["type"] == "up_to":
        return band.crossing.exceedance(z.max()), band.p_pointwise(-z.max())
    return band.p_pointwise(z.min()), band.crossing.exceedance(-z.min())


def holm(p):
    """Adjusted p in the order given (method 7)."""
    p = np.asarray(p, dtype=float)
    order = np.argsort(p, kind="stable")
    factors = len(p) - np.arange(len(p))
    adjusted = np.empty(len(p))
    adjusted[order] = np.maximum.accumulate(np.minimum(1, factors * p[order]))
    return adjusted


def weighted_graph(p, primary):
    """Adjusted p of claims with one primary among them (method 7)."""
    p = np.asarray(p, dtype=float)
    count = len(p)
    weights = np.full(count, (1 - PRIMARY_WEIGHT) / (count - 1) if count > 1 else 1.0)
    if count > 1:
        weights[primary] = PRIMARY_WEIGHT
    adjusted, still_open, last = np.empty(count), np.ones(count, dtype=bool), 0.0
    for left in range(count - 1, -1, -1):
        ratio = np.where(still_open, p / weights, np.inf)
        next_one = int(np.argmin(ratio))
        last = adjusted[next_one] = max(last, min(1.0, ratio[next_one]))
        still_open[next_one] = False
        if left:
            weights[still_open] += weights[next_one] / left
    return adjusted


def assess_claims(claims, analysis, plan=None):
    """Every claim with p, estimate, adjusted p and judgement.

    plan: {"primary", "registered", "q"} of a registered plan that passed its checks, or None.
    """
    for claim in claims:
        validate(claim)
    results = [{"id": claim["id"]} | analysis.claim(claim) for claim in claims]
    counted = list(range(len(claims)))
    if plan is not None:
        counted = [i for i in counted if claims[i]["id"] in plan["registered"]]
        alpha = ALPHA / plan["q"]
        primary = next(k for k, i in enumerate(counted) if claims[i]["id"] == plan["primary"])
        adjusted = {side: weighted_graph([results[i][side] for i in counted], primary) for side in ("p_support", "p_contra")}
    else:
        alpha = ALPHA
        adjusted = {side: holm([results[i][side] for i in counted]) for side in ("p_support", "p_contra")}
    for k, i in enumerate(counted):
        support, contra = float(adjusted["p_support"][k]), float(adjusted["p_contra"][k])
        judgement = "supported" if support <= alpha else "contradicted" if contra <= alpha else "undecided"
        results[i] |= {"adj_support": support, "adj_contra": contra, "judgement": judgement}
    for i in set(range(len(claims))) - set(counted):
        results[i] |= {"judgement": "undecided", "reason": "exploratory"}
    return results
