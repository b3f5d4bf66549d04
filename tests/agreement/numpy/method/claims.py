"""Claims: p-values, corrections for several of them, judgements (method 7)."""

import numpy as np

from .record import InvalidInput

ALPHA = 0.025
PRIMARY_WEIGHT = 0.8
BAND_CLAIMS = ("everywhere_at_least", "no_loss", "up_to")
SCALAR_CLAIMS = ("at_least", "at_most", "equals_within")
P_SIDES = ("p_support", "p_contra")
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


def combine_orders(result, other):
    """Larger p and hull of the results of two orders of the runs (method 8, order-coherent)."""
    joined = result | {side: max(result[side], other[side]) for side in P_SIDES}
    if "lo" in result and "lo" in other:
        joined |= {"lo": min(result["lo"], other["lo"]), "hi": max(result["hi"], other["hi"])}
    return joined


def assess_claims(claims, analysis, plan=None, other_order=None):
    """Every claim with p, estimate, adjusted p and judgement.

    plan: {"primary", "registered", "q"} of a registered plan that passed its checks, or None.
    other_order: the analysis of the runs sorted by start time, where that differs from the sequence.
    """
    for claim in claims:
        validate(claim)
    results = [{"id": claim["id"]} | analysis.claim(claim) for claim in claims]
    if other_order is not None:
        results = [combine_orders(result, other_order.claim(claim)) for result, claim in zip(results, claims)]
    counted = [result for result in results if plan is None or result["id"] in plan["registered"]]
    alpha = ALPHA if plan is None else ALPHA / plan["q"]
    for side, adjusted_side in zip(P_SIDES, ("adj_support", "adj_contra")):
        p = [result[side] for result in counted]
        adjusted = holm(p) if plan is None else weighted_graph(p, [r["id"] for r in counted].index(plan["primary"]))
        for result, value in zip(counted, adjusted):
            result[adjusted_side] = float(value)
    for result in results:
        if "adj_support" not in result:
            result |= {"judgement": "undecided", "reason": "exploratory"}
        elif result["adj_support"] <= alpha:
            result["judgement"] = "supported"
        else:
            result["judgement"] = "contradicted" if result["adj_contra"] <= alpha else "undecided"
    return results
