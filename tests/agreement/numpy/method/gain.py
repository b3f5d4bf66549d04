"""The scalar gain: drift check, repeatability, contrast, components, scope (method 3)."""

from dataclasses import dataclass

import numpy as np
from scipy import special

from .interval import P_FLOOR, floored, interval_of, t_quantile, t_tail
from .record import GROUPS, INFINITE

ROUNDING = 1e-9
RESOLUTION = 0.0005
WARM_UP = 0.01
NO_MOUNTING_SHARE = 1e-6


class NotAssessable(Exception):
    """There is nothing to estimate (method 1)."""


@dataclass(frozen=True)
class Drift:
    slope: float
    z: float | None
    p: float | None
    flagged: bool


@dataclass(frozen=True)
class Contrast:
    """Weights of the runs in the gain and their sums c (method 3.4)."""

    weights: np.ndarray
    run: float
    mount: float
    drift: float
    day: float
    factor: float
    warm_up: float


@dataclass(frozen=True)
class Mounting:
    """What becomes of the variance between mountings (method 3.5). declared: (v_m, nu_m) of case (a)."""

    mode: str | None
    scope: str = "reproducible"
    component: tuple | None = None
    declared: tuple = (None, None)
    flags: frozenset = frozenset()


@dataclass(frozen=True)
class Gain:
    """What section 3 says of one value per run. freed: y*, the values without flagged drift."""

    level: float
    drift: Drift
    freed: np.ndarray
    bracketed: bool
    nu_within: int
    v_repeat: float | None
    nu_repeat: float
    mode_repeat: str
    v_mount: float | None
    nu_mount: float | None
    mode_mount: str | None
    contrast: Contrast
    as_mounted_contrast: Contrast
    estimate: float
    scope: str
    flags: frozenset
    components: dict | None
    interval: object
    as_mounted: object


def logarithms(y):
    """ln y for relative gains (method 4)."""
    if np.any(y <= 0):
        raise NotAssessable("a relative gain of power that is not above 0")
    return np.log(y)


def local_share(q):
    """h(q): the share of a local variance that the mean over q correlation lengths keeps (method 3)."""
    if q < 1e-4:
        return 1 - q * q / 12
    return 2 / q**2 * (q * np.sqrt(np.pi / 2) * special.erf(q / np.sqrt(2)) + np.expm1(-q * q / 2))


def zeroed(squares, count, level):
    """A sum of squares, 0 where only rounding is left (method 3)."""
    return 0.0 if squares <= count * (ROUNDING * level) ** 2 else squares


def drift_check(y, design, prior_dof, sigma, level):
    """Method 3.1. Returns the drift, and SS and nu_w for the variance estimation."""
    within = design.within_cells(y)
    squares = zeroed(float(within @ within), design.count, level)
    nu_within = design.count - design.cell_count
    t = design.t_within
    stt = float(t @ t)
    if stt == 0:
        return Drift(0.0, None, None, False), squares, nu_within
    slope = float(t @ y) / stt if squares > 0 else 0.0
    dof = prior_dof + nu_within - 1
    if dof < 1:
        return Drift(slope, None, None, False), squares, nu_within
    if squares == 0:
        return Drift(slope, 0.0, 1.0, False), squares, nu_within
    left = zeroed(max(0.0, squares - slope**2 * stt), design.count, level)
    variance = (prior_dof * sigma**2 + left) / dof
    if variance == 0:
        drift = Drift(slope, None, P_FLOOR, True)
    else:
        z = abs(slope) * np.sqrt(stt / variance)
        drift = Drift(slope, float(z), floored(2 * t_tail(z, dof)), bool(z > t_quantile(0.995, dof)))
    return (drift, left, nu_within - 1) if drift.flagged else (drift, squares, nu_within)


def repeatability(squares, nu_within, prior_dof, sigma, level):
    """v_r (None if there is none), nu_r, mode_r and its flags (method 3.2)."""
    if prior_dof > 0:
        limit = sigma**2 * special.fdtri(nu_within, prior_dof, 0.99) if nu_within >= 2 else np.inf
        if nu_within >= 2 and squares / nu_within > limit:
            return squares / nu_within, nu_within, "session_only_noisier_than_facility", {"noisier_than_facility"}
        dof = prior_dof + nu_within
        return (prior_dof * sigma**2 + squares) / dof, dof, "moderated", set()
    if nu_within < 1:
        return None, 0, "unavailable", set()
    if squares == 0:
        return None, 0, "zero_variance", {"zero_variance"}
    return max(squares / nu_within, (RESOLUTION * level) ** 2), nu_within, "session_only", set()


def contrast_of(weights, design):
    """The sums c that belong to weights (method 3.4)."""
    mount = float(np.sum(np.bincount(design.mounting, weights=weights) ** 2))
    return Contrast(
        weights=weights,
        run=float(weights @ weights),
        mount=0.0 if mount < NO_MOUNTING_SHARE else mount,
        drift=float(weights @ design.t_centred) ** 2,
        day=float(np.sum(np.bincount(design.day, weights=weights) ** 2)),
        factor=float(weights @ design.factor) ** 2,
        warm_up=float(weights @ design.warm_up_shape) ** 2,
    )


def least_squares_weights(design, record, sigma_run, sigma_drift, level, warm_up):
    """Second row of (X'V^-1 X)^-1 X'V^-1 (method 3.3)."""
    if record.holds("mount"):
        mount_ratio = (level * record.mount_rel_sd / sigma_run) ** 2
    else:
        eliminated = len(design.shared_mountings) == len(design.runs_of_mounting)
        mount_ratio = 1e6 if eliminated else 1.0
    covariance = (
        np.eye(design.count)
        + mount_ratio * design.same_mounting
        + (sigma_drift / sigma_run) ** 2 * np.outer(design.t_centred, design.t_centred)
    )
    if warm_up:
        covariance += (WARM_UP * level / sigma_run) ** 2 * np.outer(design.warm_up_shape, design.warm_up_shape)
    x = np.column_stack([np.ones(design.count), design.side])
    solved = np.linalg.solve(covariance, x)
    return np.linalg.solve(x.T @ solved, solved.T)[1]


def mounting_means_weights(design):
    """+-1/(n_k k_side): mountings as the units (method 3.5 b)."""
    held = np.array([len(of_side) for of_side in design.mountings_of_side])
    sign = np.where(design.side == 1, 1.0, -1.0)
    return sign / (design.runs_of_mounting[design.mounting] * held[design.side])


def between_mountings(y, design):
    """MB: scatter of the mounting means about the mean of their side (method 3.5)."""
    means = np.bincount(design.mounting, weights=y) / design.runs_of_mounting
    return sum(float(np.sum((means[of] - means[of].mean()) ** 2)) for of in design.mountings_of_side) / design.between_dof


def declared_mounting(y, design, record, v_repeat, level):
    """v_m, its degrees of freedom and its flags where the re-mounting sd is declared (method 3.5 a)."""
    declared, prior = (level * record.mount_rel_sd) ** 2, record.mount_dof
    nu = design.between_dof
    if nu == 0:
        return declared, prior, frozenset()
    scatter = between_mountings(y, design)
    noise = v_repeat * float(np.mean(1 / design.runs_of_mounting))
    variance = (prior * declared + nu * max(0.0, scatter - noise)) / (prior + nu)
    above = scatter > (declared + noise) * special.fdtri(nu, prior, 0.99)
    return variance, prior + nu, frozenset({"mounting_scatter_above_declared"} if above else ())


def mounting_rule(y, design, record, contrast, units, v_repeat, level):
    """Which case of method 3.5 holds. units: mountings are the units, case (b)."""
    nu = design.between_dof
    if units:
        scatter = between_mountings(y, design)
        if scatter <= (ROUNDING * level) ** 2:
            return Mounting(None, "none", flags=frozenset({"zero_variance"}))
        variance = max(scatter, (RESOLUTION * level) ** 2)
        flags = frozenset({"mounting_dof_1"} if nu == 1 else ())
        return Mounting("session_mounting_means", component=(variance * contrast.mount, nu), flags=flags)
    if v_repeat is None:
        return Mounting(None, "none")
    if contrast.mount == 0:
        return Mounting("not_needed")
    if not record.holds("mount"):
        return Mounting("unknown", "as_mounted_only", flags=frozenset({"mounting_component_unknown"}))
    variance, dof, flags = declared_mounting(y, design, record, v_repeat, level)
    mode = "declared+session" if nu >= 1 else "declared"
    return Mounting(mode, component=(variance * contrast.mount, dof), declared=(variance, dof), flags=flags)


def shared_components(contrast, design, record, sigma_drift, level, warm_up):
    """Drift, warm-up, ambient and day, in the order of the method (method 3.4)."""
    components = {"drift": (sigma_drift**2 * contrast.drift, record.drift[1])}
    if warm_up:
        components["warm_up"] = ((WARM_UP * level) ** 2 * contrast.warm_up, INFINITE)
    fraction, dof = record.ambient
    components["ambient"] = ((fraction * level) ** 2 * contrast.factor, dof)
    if record.holds("day") and design.day.any():
        components["day"] = ((level * record.day_rel_sd) ** 2 * contrast.day, record.day_dof)
    return components


def howe_forced(components, record, units=False):
    """Whether a component comes from a borrowed group; mountings that are the units come from the session (method 1)."""
    groups = [group for group in GROUPS if group in components and not (units and group == "mount")]
    return any(record.borrowed(group) for group in groups)


def estimate_gain(y, design, record, width, level=None, warm_up=False):
    """Section 3 on one value per run.

    width: W of the value in rpm. level: P0, from y unless given (1 for logarithms and for normalised values).
    warm_up: a mounting lacks its conditioning pulls and engine temperatures are not evidenced.
    """
    if not design.both_sides_present:
        raise NotAssessable("one side without runs")
    if level is None:
        level = abs(float((design.side_average @ y).mean()))
        if level == 0:
            raise NotAssessable("mean power 0")
    warm_up = warm_up and not design.bracketed
    prior = record.prior_dof
    sigma_run = level * np.sqrt(record.global_sd**2 + record.local_sd**2 * local_share(width / record.correlation))

    drift, squares, nu_within = drift_check(y, design, prior, sigma_run, level)
    sigma_drift, freed = level * record.drift[0], y
    flags = set() if design.factors_known else {"ambient_not_evidenced"}
    if drift.flagged:
        sigma_drift, freed = max(sigma_drift, abs(drift.slope)), y - drift.slope * design.t_centred
        flags.add("drift_detected")
    v_repeat, nu_repeat, mode_repeat, repeat_flags = repeatability(squares, nu_within, prior, sigma_run, level)

    weights = least_squares_weights(design, record, sigma_run, sigma_drift, level, warm_up)
    contrast = as_mounted_contrast = contrast_of(weights, design)
    units = not record.holds("mount") and contrast.mount > 0 and design.between_dof >= 1
    if units:
        contrast = contrast_of(mounting_means_weights(design), design)
    estimate = float(contrast.weights @ y)

    as_mounted = components = interval = None
    if v_repeat is not None:
        components = {"repeat": (v_repeat * as_mounted_contrast.run, nu_repeat)}
        components |= shared_components(as_mounted_contrast, design, record, sigma_drift, level, warm_up)
        forced = howe_forced(components, record)
        as_mounted = interval_of(as_mounted_contrast.weights @ y, components.values(), forced)

    mounting = mounting_rule(freed, design, record, contrast, units, v_repeat, level)
    scope = mounting.scope
    flags |= repeat_flags | mounting.flags
    if scope == "none":
        components = None
    else:
        if units:
            components = {"mount": mounting.component}
            components |= shared_components(contrast, design, record, sigma_drift, level, warm_up)
        elif mounting.component:
            components = components | {"mount": mounting.component}
        if design.day.any() and not record.holds("day"):
            scope = "as_mounted_only"
            flags.add("between_day_component_unknown")
    if scope == "reproducible":
        interval = interval_of(estimate, components.values(), howe_forced(components, record, units))

    return Gain(
        level=level,
        drift=drift,
        freed=freed,
        bracketed=design.bracketed,
        nu_within=nu_within,
        v_repeat=v_repeat,
        nu_repeat=float(nu_repeat),
        mode_repeat=mode_repeat,
        v_mount=mounting.declared[0],
        nu_mount=mounting.declared[1],
        mode_mount=mounting.mode,
        contrast=contrast,
        as_mounted_contrast=as_mounted_contrast,
        estimate=estimate,
        scope=scope,
        flags=frozenset(flags),
        components=components,
        interval=interval,
        as_mounted=as_mounted,
    )
