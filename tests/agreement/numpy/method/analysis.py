"""One analysis of a session with one record: intervals, bands, peaks and claims, each computed once (method 2 to 7).

Where drift is flagged and one side comes first, all of them are the hull of two drift models (method 7).
"""

from functools import cached_property

import numpy as np

from .band import fit_band
from .claims import BAND_CLAIMS, NO_P, band_limit, band_p, is_relative, off_scale, scalar_p
from .gain import estimate_gain, logarithms
from .peaks import Peaks

LEAST_POINTS = 3


class Analysis:
    """What one record says of one set of runs.

    warm_up: a mounting lacks its conditioning pulls and engine temperatures are not evidenced (method 3.4).
    """

    def __init__(self, grid, design, record, warm_up=False, peaks=None):
        self.grid, self.design, self.record, self.warm_up = grid, design, record, warm_up
        self.peaks = Peaks(grid, design) if peaks is None else peaks
        self._gains, self._bands = {}, {}

    @cached_property
    def restarted(self):
        """The same analysis with drift that starts afresh (method 7, hull)."""
        return Analysis(self.grid, self.design.restarted, self.record, self.warm_up, self.peaks)

    def quantity(self, metric, r1, r2):
        """One value per run, and its W (method 2)."""
        if metric == "band_mean":
            return self.grid.smooth[:, self.grid.inside(r1, r2)].mean(axis=1), r2 - r1
        if metric == "at_rpm":
            return np.array([np.interp(r1, self.grid.rpm, curve) for curve in self.grid.smooth]), 0.0
        return self.peak(metric).values, 0.0

    def peak(self, metric):
        """The peak that a metric names, or None."""
        if metric == "peak_power":
            return self.peaks.power
        return self.peaks.torque if metric == "peak_torque" else None

    def gain(self, metric, r1=None, r2=None, relative=False):
        key = metric, r1, r2, relative
        if key not in self._gains:
            y, width = self.quantity(metric, r1, r2)
            y, level = (logarithms(y), 1.0) if relative else (y, None)
            self._gains[key] = estimate_gain(y, self.design, self.record, width, level, self.warm_up)
        return self._gains[key]

    def band(self, r1, r2, relative=False):
        key = r1, r2, relative
        if key not in self._bands:
            self._bands[key] = fit_band(self.grid, self.design, self.record, r1, r2, relative, warm_up=self.warm_up)
        return self._bands[key]

    def as_mounted_band(self, r1, r2, relative=False):
        return fit_band(self.grid, self.design, self.record, r1, r2, relative, as_mounted=True, warm_up=self.warm_up)

    def two_models(self, fit):
        """Whether flagged drift asks for the hull of two drift models (method 7)."""
        return fit.drift.flagged and not self.design.bracketed

    def intervals(self, metric, r1=None, r2=None, relative=False):
        """The interval of each drift model, the session's own first; None where a model has none."""
        fit = self.gain(metric, r1, r2, relative)
        if fit.interval is None or not self.two_models(fit):
            return [fit.interval]
        return [fit.interval, self.restarted.gain(metric, r1, r2, relative).interval]

    def bands(self, r1, r2, relative=False):
        """The band of each drift model, the session's own first; None where a model has none."""
        band = self.band(r1, r2, relative)
        models = [band]
        if band.exists and self.two_models(band.fit):
            models.append(self.restarted.band(r1, r2, relative))
        return [model if model.exists else None for model in models]

    def limits(self, metric, r1=None, r2=None, relative=False):
        """Low and high of a gain in its unit, or None."""
        found = [interval for interval in self.intervals(metric, r1, r2, relative) if interval]
        if not found:
            return None
        low, high = min(interval.low for interval in found), max(interval.high for interval in found)
        return off_scale(low, relative), off_scale(high, relative)

    def band_limits(self, r1, r2, relative=False):
        """Low and high of a simultaneous band at every grid point in its unit, or None."""
        found = [band.limits() for band in self.bands(r1, r2, relative) if band]
        if not found:
            return None
        low, high = np.min([low for low, _ in found], axis=0), np.max([high for _, high in found], axis=0)
        return off_scale(low, relative), off_scale(high, relative)

    def claim(self, claim):
        """p_S, p_C and what is shown beside them, before the correction."""
        r1, r2 = claimed_range(claim)
        refused = self.refusal(claim, r1, r2)
        if refused:
            return p_values(NO_P) | {"reason": refused, "two_drift_models": False}
        return self.band_claim(claim, r1, r2) if claim["type"] in BAND_CLAIMS else self.scalar_claim(claim, r1, r2)

    def refusal(self, claim, r1, r2):
        if not len(self.grid.rpm):
            return "not covered"
        if r1 is None:
            return None
        if not self.grid.covers(r1, r2):
            return "not covered"
        if claim.get("metric") == "at_rpm":
            return None if self.grid.rpm[0] <= r1 <= self.grid.rpm[-1] else "not covered"
        of = self.grid.inside(r1, r2)
        return "range too narrow" if of.stop - of.start < LEAST_POINTS else None

    def scalar_claim(self, claim, r1, r2):
        metric, relative = claim["metric"], is_relative(claim)
        of = metric, r1, r2, relative
        fit, intervals = self.gain(*of), self.intervals(*of)
        result = {
            "estimate": off_scale(fit.estimate, relative),
            "scope": fit.scope,
            "two_drift_models": len(intervals) == 2,
        }
        peak = self.peak(metric)
        if peak:
            result["where"] = dict(zip("01", peak.where))
        if fit.interval is None:
            return p_values(NO_P) | result | {"reason": "peak_not_reached" if peak and peak.edge else "no interval"}
        p = largest_p([interval and scalar_p(claim, interval) for interval in intervals])
        result |= dict(zip(("lo", "hi"), self.limits(*of)))
        if peak and peak.edge:
            p, result["reason"] = NO_P, "peak_not_reached"
        return p_values(p) | result

    def band_claim(self, claim, r1, r2):
        relative = is_relative(claim)
        band, models = self.band(r1, r2, relative), self.bands(r1, r2, relative)
        result = {"scope": band.scope, "two_drift_models": len(models) == 2}
        if not band.exists:
            return p_values(NO_P) | result | {"reason": "no interval"}
        z = band.standardised(band_limit(claim))
        p = largest_p([model and band_p(claim, model) for model in models])
        return p_values(p) | result | {
            "worst_rpm": float(band.rpm[np.argmin(z)]),
            "best_rpm": float(band.rpm[np.argmax(z)]),
            "min_D": off_scale(float(band.gain.min()), relative),
            "max_D": off_scale(float(band.gain.max()), relative),
        }


def claimed_range(claim):
    """The ends of the range of a claim; twice the speed of a claim at one; None for peaks."""
    return (claim["rpm"], claim["rpm"]) if claim.get("metric") == "at_rpm" else (claim.get("r1"), claim.get("r2"))


def p_values(p):
    return {"p_support": float(p[0]), "p_contra": float(p[1])}


def largest_p(of_models):
    """The larger p of the drift models; 1 where one of them has none (method 7)."""
    return tuple(max(p) for p in zip(*(p or NO_P for p in of_models)))
