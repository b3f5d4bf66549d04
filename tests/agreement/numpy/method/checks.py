"""Checks whose findings are met, marginal or breached (method 8, second table)."""

import numpy as np

from .curves import gaussian_weights, multiples_inside
from .interval import t_quantile

LEAN_POINTS = 7
MIXTURE_SD = 500.0
RATIO_STEP_POINTS = 4


def graded(met, marginal):
    return "met" if met else "marginal" if marginal else "breached"


def returned_to_baseline(means, runs, times, v_repeat, nu_repeat, v_mount, sigma_drift):
    """First against last baseline block; means, runs and times are pairs.

    v_mount: 0 if both blocks have one mounting, None if they have two and there is no v_m.
    """
    if v_repeat is None or v_mount is None:
        return {"finding": "not-evidenced"}
    variance = v_repeat * (1 / runs[0] + 1 / runs[1]) + 2 * v_mount + (sigma_drift * (times[1] - times[0])) ** 2
    z = float(abs(means[1] - means[0]) / np.sqrt(variance))
    return {"z": z, "finding": graded(z <= t_quantile(0.975, nu_repeat), z <= t_quantile(0.995, nu_repeat))}


def trace_sound(rpm, throttle, r1, r2):
    """Density, gaps and throttle of the samples of one sweep, by rising engine speed."""
    density = 1000 * (len(rpm) - 1) / (rpm[-1] - rpm[0])
    gap = np.diff(rpm).max()
    covered = bool(rpm[0] <= r1 and r2 <= rpm[-1])
    opened = None
    inside = (rpm >= r1) & (rpm <= r2)
    if throttle is not None and inside.any():
        opened = float(throttle[inside].min() / throttle.max())
    met = density >= 4 and gap <= 250 and (opened is None or opened >= 0.95)
    marginal = density >= 2 and gap <= 500 and (opened is None or opened >= 0.90)
    return {
        "density": float(density),
        "gap": float(gap),
        "throttle": opened,
        "covered": covered,
        "finding": graded(met and covered, marginal and covered),
    }


def speed_ratio_steady(rpm, speed_kmh):
    ratio = rpm / speed_kmh
    late, early = rpm >= rpm[-1] - 500, rpm <= rpm[0] + 1200
    growth = float(np.log(np.median(ratio[late])) - np.log(np.median(ratio[early])))
    on_grid = np.log(np.interp(multiples_inside(rpm[0], rpm[-1]), rpm, ratio))
    steps = np.abs(on_grid[RATIO_STEP_POINTS:] - on_grid[:-RATIO_STEP_POINTS])
    step = float(steps.max(initial=0.0))
    return {
        "growth": growth,
        "step": step,
        "finding": graded(abs(growth) <= 0.04 and step <= 0.01, abs(growth) <= 0.06 and step <= 0.01),
    }


def fuelling_sound(rpm, mixture):
    """Lambda of one sweep; petrol, natural aspiration."""
    grid = multiples_inside(rpm[0], rpm[-1])
    on_grid = np.interp(grid, rpm, mixture)

    def lasts(above):
        return len(grid) >= LEAN_POINTS and np.lib.stride_tricks.sliding_window_view(above, LEAN_POINTS).all(axis=1).any()

    caution, lean = bool(lasts(on_grid > 0.95)), bool(lasts(on_grid > 1.00))
    sd = float(np.sqrt(np.mean((on_grid - gaussian_weights(grid, MIXTURE_SD) @ on_grid) ** 2)))
    return {"sd": sd, "caution": caution, "finding": graded(sd <= 0.03 and not caution, sd <= 0.05 and not lean)}
