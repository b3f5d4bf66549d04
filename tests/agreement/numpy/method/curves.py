"""From raw channels to smoothed curves on one grid (method 2)."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

STEP = 50.0
BIN = 25.0
SMOOTHING_SD = 100.0
PROFILE_SD = 500.0


def sweep_order(speed):
    """Indices of the samples of the sweep, by rising engine speed (method 2).

    The sweep ends at the first maximum of engine speed and begins at the last minimum before it.
    """
    end = int(np.argmax(speed))
    start = end - int(np.argmin(speed[end::-1]))
    return start + np.argsort(speed[start : end + 1], kind="stable")


def group_means(keys, *channels):
    """Means of channels over neighbouring samples with equal keys."""
    starts = np.flatnonzero(np.r_[True, keys[1:] != keys[:-1]])
    counts = np.diff(np.r_[starts, len(keys)])
    return tuple(np.add.reduceat(channel, starts) / counts for channel in channels)


def condition(speed, power):
    """Engine speed and power of one raw recording as a curve: sweep, equal speeds averaged, bins of 25 rpm (method 2)."""
    order = sweep_order(speed)
    return condition_sorted(speed[order], power[order])


def condition_sorted(rpm, power):
    """The same for samples that are sorted by engine speed already."""
    rpm, power = group_means(rpm, rpm, power)
    if len(rpm) > 1 and (rpm[-1] - rpm[0]) / (len(rpm) - 1) < BIN:
        rpm, power = group_means(np.floor(rpm / BIN), rpm, power)
    return rpm, power


def multiples_inside(start, end):
    """All multiples of 50 rpm in [start, end]."""
    return STEP * np.arange(np.ceil(start / STEP), np.floor(end / STEP) + 1)


def gaussian_weights(rpm, sd):
    """Rows of smoothing weights exp(-(dr/sd)^2/2), not truncated, renormalised at every point (method 2)."""
    weights = np.exp(-(((rpm[:, None] - rpm) / sd) ** 2) / 2)
    return weights / weights.sum(axis=1, keepdims=True)


@dataclass(frozen=True, eq=False)
class Grid:
    """The curves of all runs used, on the multiples of 50 rpm inside their overlap."""

    start: float
    end: float
    rpm: np.ndarray
    raw: np.ndarray

    @classmethod
    def of(cls, curves):
        """curves: (rpm, power) of each run, conditioned."""
        start = max(rpm[0] for rpm, _ in curves)
        end = min(rpm[-1] for rpm, _ in curves)
        rpm = multiples_inside(start, end) if start <= end else np.empty(0)
        return cls(start, end, rpm, np.array([np.interp(rpm, *curve) for curve in curves]))

    @cached_property
    def smooth(self):
        return self.raw @ gaussian_weights(self.rpm, SMOOTHING_SD).T

    @cached_property
    def _profile_weights(self):
        return {}

    def profile_weights(self, points):
        """Weights of sd 500 rpm inside a range, made once for all bands of the range (method 5)."""
        key = points.start, points.stop
        if key not in self._profile_weights:
            self._profile_weights[key] = gaussian_weights(self.rpm[points], PROFILE_SD)
        return self._profile_weights[key]

    def covers(self, r1, r2):
        """Whether a range lies in the overlap of the runs; nothing is extrapolated (method 2)."""
        return self.start <= r1 and r2 <= self.end

    def inside(self, r1, r2):
        """The grid points of a range, ends included, as a slice."""
        return slice(int(np.searchsorted(self.rpm, r1)), int(np.searchsorted(self.rpm, r2, side="right")))
