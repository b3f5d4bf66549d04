"""One analysis of a session with one record: intervals, bands, peaks and claims, each computed once (method 2 to 7)."""

from functools import cached_property

import numpy as np

from .band import fit_band
from .claims import BAND_CLAIMS, NO_P, band_limit, band_p, is_relative, off_scale, scalar_p
from .gain import estimate_gain
from .peaks import find_peak, torque_curves

LEAST_POINTS = 3


class Peaks:
    """The peaks of power and torque of one grid."""

    def __init__(self, grid, design):
        self.power = find_peak(grid.rpm, grid.smooth, design)
        self.torque = find_peak(grid.rpm, torque_curves(grid.rpm, grid.smooth), design)


class Analysis:
    """What one record says of one set of runs.

    warm_up: a mounting lacks its conditioning pulls and engine temperatures are not evidenced (method 3.4).
    """

    def __init__(self, grid, design, record, warm_up=False, peaks=None):
        self.grid, self.design, self.record, self.warm_up = grid, design, record, warm_up
        self._peaks, self._gains, self._bands = peaks, {}, {}

    @cached_property
    def peaks(self):
        return self._peaks or Peaks(self.grid, self.design)

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
        return (self.peaks.power if metric == "peak_power" else self.peaks.torque).values, 0.0

    def gain(self, metric, r1=None, r2=None, relative=False):
        key = metric, r1, r2, relative
        if key not in self._gains:
            y, width = self.quantity(metric, r1, r2)
            y, level = (np.log(y), 1.0) if relative else (y, None)
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

    def claim(self, claim):
        """p_S, p_C and what is shown beside them, before the correction."""
        r1, r2 = (claim["rpm"], claim["rpm"]) if claim.get("metric") == "at_rpm" else (claim.get("r1"), claim.get("r2"))
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
        fit = self.gain(metric, r1, r2, relative)
        result = {"estimate": off_scale(fit.estimate, relative), "scope": fit.scope, "two_drift_models": False}
        peak = {"peak_power": "power", "peak_torque": "torque"}.get(metric)
        if peak:
            result["where"] = dict(zip("01", getattr(self.peaks, peak).where))
        p = NO_P
        if fit.interval is None:
            result["reason"] = "no interval"
        else:
            p = scalar_p(claim, fit.interval)
            low, high = fit.interval.low, fit.interval.high
            if self.two_models(fit):
                other = self.restarted.gain(metric, r1, r2, relative).interval
                result["two_drift_models"] = True
                p = larger(p, other and scalar_p(claim, other))
                low, high = (min(low, other.low), max(high, other.high)) if other else (low, high)
            result |= {"lo": off_scale(low, relative), "hi": off_scale(high, relative)}
        if peak and getattr(self.peaks, peak).edge:
            p, result["reason"] = NO_P, "peak_not_reached"
        return p_values(p) | result

    def band_claim(self, claim, r1, r2):
        relative = is_relative(claim)
        band = self.band(r1, r2, relative)
        result = {"scope": band.scope, "two_drift_models": False}
        if not band.exists:
            return p_values(NO_P) | result | {"reason": "no interval"}
        p = band_p(claim, band)
        if self.two_models(band.fit):
            other = self.restarted.band(r1, r2, relative)
            result["two_drift_models"] = True
            p = larger(p, band_p(claim, other) if other.exists else None)
        z = band.standardised(band_limit(claim))
        return p_values(p) | result | {
            "worst_rpm": float(band.rpm[np.argmin(z)]),
            "best_rpm": float(band.rpm[np.argmax(z)]),
            "min_D": off_scale(float(band.gain.min()), relative),
            "max_D": off_scale(float(band.gain.max()), relative),
        }


def p_values(p):
    return {"p_support": float(p[0]), "p_contra": float(p[1])}


def larger(p, other):
    """The larger p of two drift models; 1 where the second has none (method 7)."""
    return tuple(map(max, p, other)) if other else NO_P
