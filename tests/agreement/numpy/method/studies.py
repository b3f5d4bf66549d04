"""What a facility computes from its own past: prior degrees of freedom, mounting studies, atmospheric factor (method 9, 8)."""

import numpy as np
from scipy import optimize, special

from .gain import local_share
from .record import InvalidInput
from .session import codes

MOST_DOF = 15.0
MOST_DOF_FEW = 8.0
FEW = 10
LEAST_SESSIONS = 3
LEAST_MOUNTINGS = 4


def prior_of_variances(variances, dofs):
    """s0^2, d0 (inf: no spread beyond chance) and the capped d_r of past sessions (method 9.1)."""
    s2, d = np.asarray(variances, dtype=float), np.asarray(dofs, dtype=float)
    if len(s2) < LEAST_SESSIONS:
        raise InvalidInput("fewer than 3 sessions: a declared value is needed")
    e = np.log(s2) - special.digamma(d / 2) + np.log(d / 2)
    spread = e.var(ddof=1) - special.polygamma(1, d / 2).mean()
    if spread <= 0:
        d0, s0_2 = np.inf, np.exp(e.mean())
    else:
        d0 = 2 * inverse_trigamma(spread)
        s0_2 = np.exp(e.mean() + special.digamma(d0 / 2) - np.log(d0 / 2))
    d_r = min(d0, MOST_DOF, d.sum())
    return float(s0_2), float(d0), float(min(d_r, MOST_DOF_FEW) if len(s2) < FEW else d_r)


def inverse_trigamma(value):
    """x with trigamma(x) = value; on the logarithm of x, where trigamma falls from large to small smoothly."""

    def surplus(log_x):
        return np.log(special.polygamma(1, np.exp(log_x))) - np.log(value)

    return float(np.exp(optimize.brentq(surplus, -30, 30, xtol=1e-13)))


def mounting_study(y, mounting, local_sd, correlation, width):
    """Repeatability and re-mounting sd from J mountings of one product, y = ln band means (method 9.2)."""
    y, mounting = np.asarray(y, dtype=float), codes(mounting)
    runs = np.bincount(mounting)
    if len(runs) < LEAST_MOUNTINGS:
        raise InvalidInput("fewer than 4 mountings")
    means = np.bincount(mounting, weights=y) / runs
    pooled_dof = len(y) - len(runs)
    v_repeat = float(np.sum((y - means[mounting]) ** 2)) / pooled_dof
    raw = float(means.var(ddof=1))
    mount = max(raw - v_repeat * float(np.mean(1 / runs)), raw / 2)
    repeat_global = max(v_repeat - local_sd**2 * local_share(width / correlation), v_repeat / 2)
    return {
        "v_r": v_repeat,
        "repeat_dof_pooled": pooled_dof,
        "raw": raw,
        "mount_rel_sd": float(np.sqrt(mount)),
        "mount_dof": len(runs) - 1,
        "repeat_global_rel_sd": float(np.sqrt(repeat_global)),
    }
