"""The core of the method in numpy and scipy, timed: python3 core.py ROUNDS < session.json

Curves, scalar interval (absolute and relative) and simultaneous band as in packages/service/docs/measurement-model.md 2 to 5,
for sessions in which each mounting holds both sides or the re-mounting sd is declared, on one day. Written from that text and
not from the engine, in whole-array operations where numpy has one. Prints its figures and CPU milliseconds, one per round.
"""

import json
import sys
import time

import numpy as np
from scipy import special, stats


def sweep_curve(speed, power):
    last = int(np.argmax(speed))
    head = speed[: last + 1]
    first = last - int(np.argmin(head[::-1]))
    speed, power = speed[first : last + 1], power[first : last + 1]
    order = np.argsort(speed, kind="stable")
    speed, power = averaged(speed[order], power[order], speed[order])
    spacing = (speed[-1] - speed[0]) / (len(speed) - 1)
    return averaged(speed, power, np.floor(speed / 25)) if spacing < 25 else (speed, power)


def averaged(speed, power, key):
    starts = np.flatnonzero(np.r_[True, key[1:] != key[:-1]])
    counts = np.diff(np.r_[starts, len(key)])
    return np.add.reduceat(speed, starts) / counts, np.add.reduceat(power, starts) / counts


def smoothed_on_grid(runs):
    curves = [sweep_curve(run["speed"], run["power"]) for run in runs]
    start = max(speed[0] for speed, _ in curves)
    end = min(speed[-1] for speed, _ in curves)
    grid = 50.0 * np.arange(np.ceil(start / 50), np.floor(end / 50) + 1)
    raw = np.array([np.interp(grid, speed, power) for speed, power in curves])
    distance = (grid[:, None] - grid[None, :]) / 100
    weights = np.exp(-distance * distance / 2)
    weights /= weights.sum(axis=1, keepdims=True)
    return grid, raw @ weights.T


def local_share(q):
    if q < 1e-4:
        return 1 - q * q / 12
    return 2 / q**2 * (q * np.sqrt(np.pi / 2) * special.erf(q / np.sqrt(2)) - (1 - np.exp(-q * q / 2)))


def cells_of(side, mounting):
    return np.unique(np.array([f"{m} {s}" for m, s in zip(mounting, side)]), return_inverse=True)[1]


def within(values, cells):
    count = np.bincount(cells)
    return values - (np.bincount(cells, weights=values) / count)[cells]


def scalar_interval(y, session, record, width, level):
    """Section 3 on y with P0 = level."""
    side, t, factors = session["side"], session["t"], session["factors"]
    mounting = session["mounting_index"]
    cells = session["cells"]
    g, prior = record["repeatRelSd"], record["repeatDof"]
    l, ell = record["localRelSd"], record["localCorrelation_rpm"]
    repeat_0 = level * np.sqrt(g * g + l * l * local_share(width / ell))
    mount_0 = level * record["mountRelSd"]
    drift = level * record["driftRelSdPerRun"]
    dof_within = len(y) - len(np.unique(cells))
    residual = within(y, cells)
    squares = residual @ residual
    centred = within(t, cells)
    stt = centred @ centred
    used = y
    if stt > 0:
        slope = centred @ y / stt
        left = max(0.0, squares - slope * slope * stt)
        dof = prior + dof_within - 1
        variance = (prior * repeat_0**2 + left) / dof
        if abs(slope) * np.sqrt(stt / variance) > stats.t.ppf(0.995, dof):
            drift = max(drift, abs(slope))
            used, squares, dof_within = y - slope * (t - t.mean()), left, dof_within - 1
    repeat, repeat_dof = (prior * repeat_0**2 + squares) / (prior + dof_within), prior + dof_within
    if dof_within >= 2 and squares / dof_within > repeat_0**2 * stats.f.ppf(0.99, dof_within, prior):
        repeat, repeat_dof = squares / dof_within, dof_within

    shared = (mounting[:, None] == mounting[None, :]).astype(float)
    from_mean = t - t.mean()
    covariance = (
        np.eye(len(y))
        + (mount_0 / repeat_0) ** 2 * shared
        + (drift / repeat_0) ** 2 * np.outer(from_mean, from_mean)
    )
    design = np.column_stack([np.ones(len(y)), side])
    solved = np.linalg.solve(covariance, design)
    a = np.linalg.solve(design.T @ solved, solved.T)[1]
    c_mount = np.sum(np.bincount(mounting, weights=a) ** 2)
    components = [
        (repeat * (a @ a), repeat_dof),
        ((drift * (a @ from_mean)) ** 2, record["driftDof"]),
        ((record["ambientFracSd"] * level * (a @ factors)) ** 2, record["ambientDof"]),
    ]
    if c_mount >= 1e-6:
        components.append(mounting_term(used, session, repeat, mount_0, record["mountDof"], c_mount))
    variances, dofs = np.array(components).T
    total = variances.sum()
    if np.all(dofs[variances > 0.001 * total] >= 4):
        dof = total**2 / np.sum(variances**2 / dofs)
        factor = stats.t.ppf(0.975, dof)
    else:
        factor = np.sqrt(np.sum(stats.t.ppf(0.975, dofs) ** 2 * variances) / total)
        dof = dof_of(factor)
    u = np.sqrt(total)
    estimate = a @ y
    return {"a": a, "estimate": estimate, "u": u, "dof": dof, "low": estimate - factor * u, "high": estimate + factor * u}


def mounting_term(used, session, repeat, mount_0, dof, c_mount):
    mounting, side = session["mounting_index"], session["side"]
    held = [np.unique(mounting[side == which]) for which in (0, 1)]
    free = 0 if np.intersect1d(*held).size else held[0].size + held[1].size - 2
    if free == 0:
        return mount_0**2 * c_mount, dof
    count = np.bincount(mounting)
    means = np.bincount(mounting, weights=used) / count
    between = sum(np.sum((means[of] - means[of].mean()) ** 2) for of in held) / free
    excess = max(0.0, between - repeat * np.mean(1 / count))
    return (dof * mount_0**2 + free * excess) / (dof + free) * c_mount, dof + free


def dof_of(factor):
    """The degrees of freedom whose t gives a coverage factor."""
    low, high = 1e-2, 1e6
    if stats.t.ppf(0.975, high) >= factor:
        return high
    for _ in range(200):
        middle = np.sqrt(low * high)
        low, high = (middle, high) if stats.t.ppf(0.975, middle) > factor else (low, middle)
    return high


def simultaneous_band(grid, curves, session, record):
    """Section 5 on the logarithms of the curves, over the whole grid."""
    rho = np.log(curves)
    width = grid[-1] - grid[0]
    fit = scalar_interval(rho.mean(axis=1), session, record, width, 1.0)
    cells = session["cells"]
    count = np.bincount(cells)
    means = np.zeros((len(count), len(grid)))
    np.add.at(means, cells, rho)
    local = rho - (means / count[:, None])[cells]
    local -= local.mean(axis=1, keepdims=True)
    free = len(rho) - len(count)
    variance = np.sum(np.mean(local**2, axis=1)) / free
    slope_variance = np.sum(np.mean((np.diff(local, axis=1) / 50) ** 2, axis=1)) / free
    l, ell, prior = record["localRelSd"], record["localCorrelation_rpm"], record["repeatDof"]
    effective = max(1.0, width / (np.sqrt(np.pi) * ell))
    dof_local = prior + free * effective
    pooled = (prior * l * l + free * effective * variance) / dof_local * dof_local / (dof_local - 2)
    distance = (grid[:, None] - grid[None, :]) / 500
    kernel = np.exp(-distance * distance / 2)
    kernel /= kernel.sum(axis=1, keepdims=True)
    profile = kernel @ np.sum(local**2, axis=0)
    profile /= profile.mean()
    weight = 1500 * free / (np.sqrt(np.pi) * ell)
    profile = (10 + weight * profile) / (10 + weight)
    a = fit["a"]
    c_mount = np.sum(np.bincount(session["mounting_index"], weights=a) ** 2)
    x = (2 * grid - grid[0] - grid[-1]) / (grid[-1] - grid[0])
    tilt = c_mount * (0.3 * record["mountRelSd"]) ** 2 if c_mount >= 1e-6 else 0.0
    squares = (a @ a) * pooled * profile + tilt * x * x
    u_local = np.sqrt(squares.mean())
    kappa = max(width * np.sqrt(slope_variance / variance), 0.5 * width / ell)
    critical = critical_value(fit["u"], fit["dof"], u_local, kappa)
    gain = a @ rho
    half = critical * np.sqrt(fit["u"] ** 2 + squares)
    return gain, gain - half, gain + half


def critical_value(u_global, dof, u_local, kappa):
    tau = stats.t.ppf((np.arange(1, 1001) - 0.5) / 1000, dof)
    u = np.hypot(u_global, u_local)
    divisor = max(u_local, 1e-9 * u)
    low, high = 0.5, 200.0
    for _ in range(80):
        c = (low + high) / 2
        near, far = (c * u - u_global * tau) / divisor, (c * u + u_global * tau) / divisor
        inside = np.maximum(0, special.ndtr(near) - special.ndtr(-far))
        crossings = np.exp(-np.maximum(near, 0) ** 2 / 2) + np.exp(-np.maximum(far, 0) ** 2 / 2)
        covered = np.mean(inside * np.exp(-kappa / (2 * np.pi) * crossings))
        low, high = (c, high) if covered < 0.95 + 1e-9 else (low, c)
    return (low + high) / 2


def core(session, record):
    grid, curves = smoothed_on_grid(session["runs"])
    of = slice(np.searchsorted(grid, session["from_rpm"]), np.searchsorted(grid, session["to_rpm"], side="right"))
    y = curves[:, of].mean(axis=1)
    side = session["side"]
    width = session["to_rpm"] - session["from_rpm"]
    level = abs(y[side == 0].mean() + y[side == 1].mean()) / 2
    absolute = scalar_interval(y, session, record, width, level)
    relative = scalar_interval(np.log(y), session, record, width, 1.0)
    gain, low, high = simultaneous_band(grid, curves, session, record)
    intervals = [[float(fit[name]) for name in ("estimate", "low", "high")] for fit in (absolute, relative)]
    return {"intervals": intervals, "gain": gain.tolist(), "low": low.tolist(), "high": high.tolist()}


def main():
    given = json.load(sys.stdin)
    session = given["session"]
    for run in session["runs"]:
        run["speed"], run["power"] = np.array(run["speed"]), np.array(run["power"])
    session["side"] = np.array(session["side"])
    session["t"] = np.array(session["t"], dtype=float)
    session["factors"] = np.array(session["factors"])
    session["mounting_index"] = np.unique(session["mounting"], return_inverse=True)[1]
    session["cells"] = cells_of(session["side"], session["mounting"])
    figures = []
    for turn in range(-2, int(sys.argv[1])):
        before = time.process_time()
        result = core(session, given["record"])
        if turn >= 0:
            figures.append(1000 * (time.process_time() - before))
    json.dump({"ms": figures, "result": result}, sys.stdout)


main()
