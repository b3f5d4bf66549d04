"""Detectors: faults of the runs and of their setting (method 8, first table)."""

from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

import numpy as np
from scipy import special

from .curves import STEP
from .gain import drift_check
from .interval import t_tail

P_OUTLIER = 0.01
P_DRIFT = 0.01
P_RATIO = 0.005
RISE = 0.03
DROP = 0.015
DROP_UNSEEN = 0.02
GEAR = 0.03
GEAR_SPAN_RPM = 1200
FACTOR = 0.002
INTAKE_K = 8.0
SMOOTHER = np.log(2.5)
COPY = 0.15
P_COPY = 1e-5
CLIPPED_RPM = 500
RATIO_DEFAULTS = {
    "ratio_intercept_mount_sd": 0.0011,
    "ratio_intercept_run_sd": 0.0008,
    "slip_slope_mount_sd": 0.0030,
    "slip_slope_run_sd": 0.0022,
    "ratio_dof": 12,
}


@dataclass(frozen=True)
class Finding:
    check: str
    runs: tuple
    observed: float
    limit: float


def atmospheric_factor(temperature_c, pressure_kpa, humidity):
    """(99/pd)^1.2 (T/298)^0.6 with the vapour form of the vectors (method 8, wrong factor)."""
    vapour = humidity * 0.61078 * np.exp(17.27 * temperature_c / (temperature_c + 237.3))
    return (99 / (pressure_kpa - vapour)) ** 1.2 * ((temperature_c + 273.15) / 298) ** 0.6


def largest(values):
    return float(np.max(values))


class Evidence:
    """What the detectors share: shapes of the curves and the scale of repeatability.

    counter: (first, last) of the rig, or None. registered: the comparison has a registered plan.
    """

    def __init__(self, session, record, counter=None, registered=False):
        self.runs, self.grid, self.design = session.runs, session.grid, session.design
        self.record, self.counter, self.registered = record, counter, registered
        self.in_sequence, self.submitted = session.in_sequence, session.submitted
        self.d0 = record.value_or("repeat_dof", 4.0)

    @cached_property
    def mean_curve(self):
        return self.grid.smooth.mean(axis=0)

    @cached_property
    def levels(self):
        """x_i = ln mean_r Y_i."""
        return np.log(self.grid.smooth.mean(axis=1))

    @cached_property
    def scale(self):
        """g, l, ell for every row, and ell_s (method 8, session scale)."""
        g, l, ell = self.record.global_sd, self.record.local_sd, self.record.correlation
        cell = self.design.cell
        first, second = np.triu_indices(len(cell), 1)
        of_cell = cell[first] == cell[second]
        if not of_cell.any():
            return g, l, ell, ell
        first, second = first[of_cell], second[of_cell]
        relative = self.grid.smooth / self.mean_curve
        level = relative.mean(axis=1)
        local = relative - level[:, None]
        apart = local[first] - local[second]
        squares = np.mean(apart**2, axis=1)
        slopes = np.mean((np.diff(apart, axis=1) / STEP) ** 2, axis=1)
        s_global = np.median(np.abs(level[first] - level[second])) / (0.6745 * np.sqrt(2))
        s_local = np.median(np.sqrt(squares / 2))
        squares, slopes = np.median(squares), np.median(slopes)
        ell_s = max(ell, np.sqrt(squares / slopes)) if squares > 0 and slopes > 0 else ell
        if not self.record.holds("repeat") and (s_global > 0.015 or s_local > 0.009):
            return max(0.005, s_global), max(0.003, s_local), ell_s, ell_s
        return g, l, ell, ell_s

    @property
    def local_sd(self):
        return self.scale[1]

    @cached_property
    def level_variance(self):
        """s0^2."""
        g, l, *_ = self.scale
        return g**2 + 0.1 * l**2

    def ids(self, chosen):
        return tuple(self.runs[i].id for i in np.flatnonzero(chosen))

    def evidenced(self, name):
        """Whether every run has this channel or fact."""
        return all(getattr(run, name) is not None for run in self.runs)

    def side_difference(self, values):
        """Modified minus baseline mean of one value per run."""
        baseline, modified = self.design.side_average @ values
        return float(modified - baseline)

    @cached_property
    def side_counts(self):
        return np.bincount(self.design.side, minlength=2)


def outlier_free(e):
    limit = P_OUTLIER / e.design.count
    for cell in range(e.design.cell_count):
        members = np.flatnonzero(e.design.cell == cell)
        n = len(members)
        if n < 2:
            continue
        x = e.levels[members]
        others = np.where(np.eye(n, dtype=bool), np.nan, x)
        mean = np.nanmean(others, axis=1)
        squares = np.nansum((others - mean[:, None]) ** 2, axis=1)
        nu = e.d0 + n - 2
        s2 = (e.d0 * e.level_variance + squares) / nu
        p = 2 * t_tail(np.abs(x - mean) / np.sqrt(s2 * (1 + 1 / (n - 1))), nu)
        worst = int(np.argmin(p))
        if p[worst] < limit:
            named = members if n == 2 else members[[worst]]
            yield Finding("outlier-free", tuple(e.runs[i].id for i in named), float(p[worst]), limit)


def drift_free(e):
    drift, _, _ = drift_check(e.levels, e.design, e.d0, np.sqrt(e.level_variance), 1.0)
    if drift.p is not None and drift.p < P_DRIFT:
        yield Finding("drift-free", (), drift.p, P_DRIFT)


def fuelling(e):
    rpm = e.grid.rpm
    r1, span = rpm[0], rpm[-1] - rpm[0]
    top = rpm >= rpm[-1] - 0.08 * span
    middle = (rpm >= r1 + 0.4 * span) & (rpm <= r1 + 0.65 * span)
    drop = np.log(e.grid.smooth[:, top].mean(axis=1) / e.grid.smooth[:, middle].mean(axis=1))
    if e.evidenced("mixture"):
        mixture = np.array([np.interp(rpm, *averaged(run.rpm, run.mixture)) for run in e.runs])
        rise = mixture[:, top].mean(axis=1) - mixture[:, middle].mean(axis=1)
        observed, limit = rise - rise.min(), RISE
        starved = (observed > limit) & (drop.max() - drop > DROP)
    else:
        limit = max(DROP_UNSEEN, 5 * e.local_sd)
        best = np.array([drop[e.design.side == side].max() for side in (0, 1)])
        observed = best[e.design.side] - drop
        starved = (observed > limit) & (e.side_counts[e.design.side] >= 2)
    if starved.any():
        yield Finding("fuelling", e.ids(starved), largest(observed[starved]), limit)


def averaged(rpm, channel):
    """A channel over strictly rising engine speed, for interpolation."""
    rpm, of = np.unique(rpm, return_inverse=True)
    return rpm, np.bincount(of, weights=channel) / np.bincount(of)


def gear_matched(e):
    if not e.evidenced("speed_kmh"):
        return
    low = [run.rpm <= run.rpm[0] + GEAR_SPAN_RPM for run in e.runs]
    ratio = np.array([np.log(np.median(run.rpm[of] / run.speed_kmh[of])) for run, of in zip(e.runs, low)])
    ranges = [np.ptp(ratio[e.design.side == side]) for side in (0, 1)]
    observed = max(abs(e.side_difference(ratio)), *map(float, ranges))
    if observed > GEAR:
        yield Finding("gear-matched", (), observed, GEAR)


def slip_line(run):
    """Intercept and slope of ln(rpm/speed) over the force of the drive (method 8, tyre/strap)."""
    force = run.power_hp * 745.7 / (2800 * run.speed_kmh / 3.6)
    ratio = np.log(run.rpm / run.speed_kmh)
    centred = force - force.mean()
    slope = centred @ ratio / (centred @ centred)
    return ratio.mean() - slope * force.mean(), slope


def tyre_or_strap(e):
    if not e.evidenced("speed_kmh") or any(gear_matched(e)):
        return
    values = {name: e.record.value_or(name, default) for name, default in RATIO_DEFAULTS.items()}
    per_run = float(np.sum(1 / e.side_counts))
    per_mounting = sum(1 / len(of) for of in e.design.mountings_of_side) if not len(e.design.shared_mountings) else 0.0
    lines = np.array([slip_line(run) for run in e.runs])
    t = []
    for line, name in zip(lines.T, ("ratio_intercept", "slip_slope")):
        variance = values[f"{name}_mount_sd"] ** 2 * per_mounting + values[f"{name}_run_sd"] ** 2 * per_run
        t.append(e.side_difference(line) / np.sqrt(variance))
    nu = values["ratio_dof"]
    p = float(min(2 * t_tail(abs(t[0]), nu), special.fdtrc(2, nu, (t[0] ** 2 + t[1] ** 2) / 2)))
    if p < P_RATIO:
        yield Finding("tyre-or-strap", (), p, P_RATIO)


def wrong_factor(e):
    deviation = np.array(
        [
            0.0 if run.factor is None or run.ambient is None else abs(run.factor / atmospheric_factor(*run.ambient) - 1)
            for run in e.runs
        ]
    )
    wrong = deviation > FACTOR
    if wrong.any():
        yield Finding("wrong-factor", e.ids(wrong), largest(deviation), FACTOR)


def intake_air_matched(e):
    if not (e.evidenced("intake_c") and e.evidenced("ambient")):
        return
    above = np.array([run.intake_c - run.ambient[0] for run in e.runs])
    observed = abs(e.side_difference(above))
    if observed > INTAKE_K:
        yield Finding("intake-air-matched", (), observed, INTAKE_K)


def heat_soak(e):
    if not e.evidenced("engine_c"):
        return
    kelvin = 3.0 if e.registered or e.side_counts.min() == 1 else 4.0
    limit = kelvin * float(np.sqrt(np.sum(1 / e.side_counts)))
    observed = abs(e.side_difference(np.array([run.engine_c for run in e.runs])))
    if observed > limit:
        yield Finding("heat-soak", (), observed, limit)


def smoothing(e):
    bends = np.diff(np.log(np.maximum(e.grid.raw, 1e-3)), n=2, axis=1)
    roughness = np.mean(bends**2, axis=1)
    baseline, modified = (np.median(roughness[e.design.side == side]) for side in (0, 1))
    if min(baseline, modified) <= 0:
        return
    ratio = float(np.log(modified / baseline))
    if abs(ratio) > SMOOTHER:
        yield Finding("smoothing", e.ids(e.design.side == (1 if ratio < 0 else 0)), abs(ratio), float(SMOOTHER))


def no_duplicate_runs(e):
    _, l, _, ell_s = e.scale
    rpm = e.grid.rpm
    free = max(1.0, (rpm[-1] - rpm[0]) / (np.sqrt(np.pi) * ell_s) - 2)
    limit = float(min(COPY, np.sqrt(2 * special.gammaincinv(free / 2, P_COPY) / free)))
    shape = e.grid.raw / e.mean_curve
    line = np.column_stack([np.ones(len(rpm)), (rpm - rpm.mean()) / np.ptp(rpm)])
    shape = shape - (line @ np.linalg.lstsq(line, shape.T)[0]).T
    for first, second in combinations(range(e.design.count), 2):
        distance = float(np.sqrt(np.mean((shape[first] - shape[second]) ** 2))) / (np.sqrt(2) * l)
        if distance < limit:
            yield Finding("no-duplicate-runs", (e.runs[first].id, e.runs[second].id), distance, limit)


def all_runs_counted(e):
    if e.counter is None:
        return
    first, last = e.counter
    missing = last - first + 1 - len({run.counter for run in e.submitted} - {None})
    if missing > 0:
        yield Finding("all-runs-counted", (), float(missing), 0.0)


def order_coherent(e):
    """Among the runs that have a place in the sequence and a start time; leaving one out hides no disorder."""
    timed = [run for run in e.in_sequence if run.start_s is not None]
    early = [run.id for before, run in zip(timed, timed[1:]) if run.start_s <= before.start_s]
    if early:
        yield Finding("order-coherent", tuple(early), float(len(early)), 0.0)


def clipped_range(e):
    ends = np.array([[run.curve[0][0], run.curve[0][-1]] for run in e.runs])
    widest = ends[np.argmax(ends[:, 1] - ends[:, 0])]
    loss = np.maximum(ends[:, 0] - widest[0], widest[1] - ends[:, 1])
    clipped = loss > CLIPPED_RPM
    if clipped.any():
        yield Finding("clipped-range", e.ids(clipped), largest(loss), float(CLIPPED_RPM))


DETECTORS = (
    outlier_free,
    drift_free,
    fuelling,
    gear_matched,
    tyre_or_strap,
    wrong_factor,
    intake_air_matched,
    heat_soak,
    smoothing,
    no_duplicate_runs,
    all_runs_counted,
    order_coherent,
    clipped_range,
)


def detect(evidence):
    """What fires, in the order of the table."""
    return [finding for detector in DETECTORS for finding in detector(evidence)]
