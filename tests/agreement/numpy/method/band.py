"""Simultaneous bands over engine speed (method 5)."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy import optimize, special

from .curves import STEP
from .gain import estimate_gain, logarithms
from .interval import LEVEL, P_FLOOR, t_quantile, t_tail

COVERAGE = 0.95
NODES = (np.arange(1, 1001) - 0.5) / 1000
PROFILE_PRIOR = 10.0
PROFILE_SCALE = 1500.0
NO_LOCAL_VARIANCE = 1e-18


@dataclass(frozen=True, eq=False)
class Crossing:
    """The distribution of the largest standardised deviation of a curve: a global part on t, a local part with crossings."""

    u_global: float
    dof: float
    u_local: float
    kappa: float

    @cached_property
    def u(self):
        return float(np.hypot(self.u_global, self.u_local))

    @cached_property
    def offsets(self):
        return self.u_global * t_quantile(NODES, self.dof)

    def parts(self, c):
        """Phi(b+) and (kappa/2pi) E(b+) at every node; those of b- are the same in reverse, as t is symmetric."""
        b = (c * self.u - self.offsets) / max(self.u_local, 1e-9 * self.u)
        return special.ndtr(b), self.kappa / (2 * np.pi) * np.exp(-(np.maximum(b, 0) ** 2) / 2)

    def below(self, c):
        """P(the largest deviation is below c), one-sided."""
        inside, crossings = self.parts(c)
        return float(np.mean(inside * np.exp(-crossings)))

    def between(self, c):
        """P(all deviations are inside -c..c)."""
        inside, crossings = self.parts(c)
        both = np.maximum(0, inside + inside[::-1] - 1)
        return float(np.mean(both * np.exp(-crossings - crossings[::-1])))

    def critical_value(self, level=COVERAGE, sides=2):
        """c between 0.5 and 200; the offset of 1e-9 settles ties of the nodes (method 5)."""
        covered = self.between if sides == 2 else self.below

        def shortfall(c):
            return covered(c) - level - 1e-9

        for end, sign in ((0.5, 1), (200.0, -1)):
            if sign * shortfall(end) >= 0:
                return end
        return optimize.brentq(shortfall, 0.5, 200.0, xtol=1e-12)

    def exceedance(self, z):
        """sim(z): p of a largest deviation of z (method 7)."""
        return 1.0 if z <= 0 else float(np.clip(1 - self.below(z), P_FLOOR, 1))


@dataclass(frozen=True, eq=False)
class Band:
    """Gain over engine speed in one range; in ln units where relative."""

    rpm: np.ndarray
    gain: np.ndarray
    fit: object
    scope: str
    relative: bool
    u: np.ndarray | None = None
    crossing: Crossing | None = None
    dof_pointwise: float | None = None

    @property
    def exists(self):
        return self.u is not None

    @cached_property
    def c(self):
        return self.crossing.critical_value()

    @property
    def k_pointwise(self):
        return float(t_quantile(LEVEL, self.dof_pointwise))

    def limits(self):
        """The simultaneous band."""
        return self.gain - self.c * self.u, self.gain + self.c * self.u

    def pointwise_limits(self):
        return self.gain - self.k_pointwise * self.u, self.gain + self.k_pointwise * self.u

    def standardised(self, x):
        """z(r) of a limit x (method 7)."""
        return (self.gain - x) / self.u

    def p_pointwise(self, z):
        return max(float(t_tail(z, self.dof_pointwise)), P_FLOOR)


def fit_band(grid, design, record, r1, r2, relative=False, as_mounted=False, warm_up=False):
    """The band of one range; without u where there is none.

    as_mounted: the band of the as-mounted interval, for sessions whose scope is that (method 5, "no band").
    """
    of = grid.inside(r1, r2)
    rpm, width = grid.rpm[of], r2 - r1
    if relative:
        curves, scale = logarithms(grid.smooth[:, of]), 1.0
        rho = curves
    else:
        curves = grid.smooth[:, of]
        scale = (design.side_average @ curves).mean(axis=0)
        rho = curves / scale
    fit = estimate_gain(rho.mean(axis=1), design, record, width, level=1.0, warm_up=warm_up)
    interval, contrast = (fit.as_mounted, fit.as_mounted_contrast) if as_mounted else (fit.interval, fit.contrast)
    none = Band(rpm, contrast.weights @ curves, fit, fit.scope, relative)
    if interval is None:
        return none

    local = LocalPart.of(rho, grid, of, width, design, record)
    if local.dof <= 2:
        return none
    squares = contrast.run * local.variance * local.profile
    if not as_mounted and fit.mode_mount in ("declared", "declared+session"):
        x = (2 * rpm - r1 - r2) / (grid.rpm[-1] - grid.rpm[0])
        squares = squares + contrast.mount * (record.tilt_sd * x) ** 2
    mean_square = float(squares.mean())
    u_global = interval.u
    dof_pointwise = (u_global**2 + mean_square) ** 2 / (u_global**4 / interval.dof + mean_square**2 / local.dof)
    return Band(
        rpm=rpm,
        gain=none.gain,
        fit=fit,
        scope=fit.scope,
        relative=relative,
        u=scale * np.sqrt(u_global**2 + squares),
        crossing=Crossing(u_global, interval.dof, float(np.sqrt(mean_square)), local.kappa),
        dof_pointwise=dof_pointwise,
    )


def local_residuals(rho, design):
    """lambda_i(r): curves minus the mean curve of their cell, minus their own mean (method 5)."""
    residuals = design.within_cells(rho)
    return residuals - residuals.mean(axis=1, keepdims=True)


def local_variances(residuals, dof):
    """vl and vd: mean squares of the residuals and of their slopes (method 5)."""
    slopes = np.diff(residuals, axis=1) / STEP
    variance = float(np.mean(residuals**2, axis=1).sum()) / dof
    slope_variance = float(np.mean(slopes**2, axis=1).sum()) / dof
    return (0.0 if variance < NO_LOCAL_VARIANCE else variance), slope_variance


@dataclass(frozen=True, eq=False)
class LocalPart:
    """vL with its degrees of freedom nu_L, the profile w(r), kappa (method 5)."""

    variance: float
    dof: float
    profile: np.ndarray
    kappa: float

    @classmethod
    def of(cls, rho, grid, points, width, design, record):
        prior, sd, correlation = record.prior_dof, record.local_sd, record.correlation
        free = design.count - design.cell_count
        observed = slope = 0.0
        if free >= 1:
            residuals = local_residuals(rho, design)
            observed, slope = local_variances(residuals, free)
        effective = max(1.0, width / (np.sqrt(np.pi) * correlation))
        dof = prior + free * effective
        pooled = prior * sd**2 + free * effective * observed
        profile = recorded_profile(grid.rpm[points], record)
        kappa = width / correlation
        if free >= 2 and observed > 0:
            seen = grid.profile_weights(points) @ np.sum(residuals**2, axis=0)
            weight = PROFILE_SCALE * free / (np.sqrt(np.pi) * correlation)
            profile = (PROFILE_PRIOR * profile + weight * seen / seen.mean()) / (PROFILE_PRIOR + weight)
            kappa = max(width * np.sqrt(slope / observed), 0.5 * kappa)
        return cls(pooled / (dof - 2) if dof > 2 else np.nan, dof, profile, kappa)


def recorded_profile(rpm, record):
    """w0(r) of the record, with mean 1 over the band (method 5)."""
    if record.local_profile is None or record.prior_dof == 0:
        return np.ones(len(rpm))
    profile = np.interp(rpm, *record.local_profile)
    return profile / profile.mean()
