"""A whole comparison: detectors and what they do to it, plain and conditional analyses, checks (method 1 to 8)."""

import numpy as np
from scipy import special

from .analysis import Analysis, claimed_range
from .checks import fuelling_sound, returned_to_baseline, speed_ratio_steady, trace_sound
from .claims import assess_claims, is_relative, off_scale
from .detectors import Evidence, averaged, detect
from .gain import NotAssessable, declared_mounting
from .record import CAUTIOUS, TYPICAL, fill_record

UNDECIDED = ("outlier-free", "tyre-or-strap", "intake-air-matched", "heat-soak")
GATES = ("fuelling", "gear-matched", "wrong-factor", "all-runs-counted")
SCALARS = ("band_mean", "peak_power", "peak_torque")
P_UNEQUAL = 0.05
GAP_ALLOWED = 1.5


def compare(session, record, claims, plan=None, network=None, counter=None, short_of_pulls=False):
    """Everything the method says of a session.

    network: values of a network record, which take the place of typical and cautious ones.
    short_of_pulls: a mounting lacks 3 conditioning pulls.
    """
    session, findings = without_copies(session, record, counter, plan is not None)
    design = session.design
    warm_up = short_of_pulls and any(run.engine_c is None for run in session.runs)
    gates = [finding.check for finding in findings if finding.check in GATES]
    if shared_counter(session):
        gates.append("no-duplicate-runs")

    def analysed(of, with_record):
        return Analysis(of.grid, of.design, with_record, warm_up, of.peaks)

    by_check = {finding.check: finding for finding in findings}
    sorted_session = session.sorted_by_start() if "order-coherent" in by_check else None

    def judged(with_record):
        analysis = analysed(session, with_record)
        other = analysed(sorted_session, with_record) if sorted_session else None
        results = assess_claims(claims, analysis, plan, other)
        return analysis, [after_findings(result, claim, by_check) for result, claim in zip(results, claims)]

    plain, plain_claims = judged(record)
    result = {
        "copies_dropped": sorted({f.runs[1] for f in findings if f.check == "no-duplicate-runs"}),
        "findings": [vars(finding) for finding in findings],
        "gates": gates,
        "flags": session_flags(session, record),
        "plain": described(plain, claims) | {"claims": plain_claims},
        "conditional": {},
        "checks": checked(session, plain, claims),
    }
    sources = {"network": network} if network else {"typical": TYPICAL, "cautious": CAUTIOUS}
    for name, values in sources.items():
        status = "network" if network else "assumed"
        filled_record, filled = fill_record(record, values, status)
        if set(filled) - (set() if design.day.any() else {"day"}):
            analysis, conditional_claims = judged(filled_record)
            result["conditional"][name] = described(analysis, claims) | {"filled": filled, "claims": conditional_claims}
    outliers = [i for finding in findings if finding.check == "outlier-free" for i in finding.runs]
    rest = session.excluding(outliers) if outliers else session
    if outliers and rest.runs and rest.design.both_sides_present:
        analysis = analysed(rest, record)
        result["without_outliers"] = described(analysis, claims) | {"claims": assess_claims(claims, analysis, plan)}
    return result


def without_copies(session, record, counter, registered):
    """The session without the later of every pair of copies, and what fires in it, the copies too (method 8).

    Everything is run again after a drop, as the scale of the curves changes with it.
    """
    copies = []
    while True:
        if not session.runs or not session.design.both_sides_present:
            raise NotAssessable("one side without runs" if not copies else "one side holds copies only")
        if not len(session.grid.rpm):
            raise NotAssessable("no range of engine speed that all runs cover")
        findings = detect(Evidence(session, record, counter, registered))
        pairs = [finding for finding in findings if finding.check == "no-duplicate-runs"]
        if not pairs:
            return session, copies + findings
        copies += pairs
        session = session.dropping({later for _, later in (finding.runs for finding in pairs)})


def shared_counter(session):
    """Whether two curves carry one counter (method 8, no-duplicate-runs)."""
    counters = [run.counter for run in session.submitted if run.counter is not None]
    return len(set(counters)) < len(counters)


def after_findings(result, claim, by_check):
    """The judgement after the effects of the detectors; p stays (method 7, after the correction)."""
    reasons = [check for check in UNDECIDED if check in by_check]
    if "smoothing" in by_check and claim.get("metric", "").startswith("peak_"):
        reasons.append("smoothing")
    return {"reason": reasons[0]} | result | {"judgement": "undecided"} if reasons else result


def session_flags(session, record):
    """Flags of the record and of the two sides (method 1, 3.7)."""
    design, flags = session.design, []
    starts = [run.start_s for run in session.runs]
    if record.mount_spacing_min is not None and None not in starts:
        gaps = np.diff(starts)[np.diff(design.mounting) != 0]
        if np.any(gaps > GAP_ALLOWED * 60 * record.mount_spacing_min):
            flags.append("mount_gap_longer_than_record")
    squares, dofs = side_scatter(session)
    if min(dofs) >= 1 and min(squares) > 0:
        ratio = squares[1] / dofs[1] / (squares[0] / dofs[0])
        if 2 * min(special.fdtr(dofs[1], dofs[0], ratio), special.fdtrc(dofs[1], dofs[0], ratio)) < P_UNEQUAL:
            flags.append("sides_unequal")
    return flags


def side_scatter(session):
    """Sums of squares within the cells of either side, on ln band means, and their degrees of freedom (method 3.7)."""
    design = session.design
    within = design.within_cells(np.log(session.grid.smooth.mean(axis=1)))
    squares = np.bincount(design.side, weights=within**2, minlength=2)
    cells = [len(mountings) for mountings in design.mountings_of_side]
    return squares, np.bincount(design.side, minlength=2) - cells


def described(analysis, claims):
    """Gains with intervals, the curve over the whole grid (R1 to R2) and the bands of the claimed ranges."""
    start, end = float(analysis.grid.rpm[0]), float(analysis.grid.rpm[-1])
    scales = (False, True) if np.all(analysis.grid.smooth > 0) else (False,)
    ranges = {(start, end, relative): None for relative in scales}
    for claim in claims:
        r1, r2 = claimed_range(claim)
        if r1 != r2 and analysis.refusal(claim, r1, r2) is None:
            ranges[r1, r2, is_relative(claim)] = None
    return {
        "gains": [
            described_gain(analysis, metric, *((start, end) if metric == "band_mean" else (None, None)), relative)
            for metric in SCALARS
            for relative in scales
        ],
        "bands": [described_band(analysis, *of) for of in ranges],
    }


def described_gain(analysis, metric, r1, r2, relative):
    of = metric, r1, r2, relative
    fit, limits = analysis.gain(*of), analysis.limits(*of)
    peak = analysis.peak(metric)
    as_mounted = fit.as_mounted
    return {
        "metric": metric,
        "unit": "%" if relative else "Nm" if metric == "peak_torque" else "hp",
        "gain": off_scale(fit.estimate, relative),
        "interval": limits,
        "as_mounted": as_mounted and [off_scale(limit, relative) for limit in (as_mounted.low, as_mounted.high)],
        "rule": fit.interval and fit.interval.rule,
        "dof": fit.interval and fit.interval.dof,
        "scope": fit.scope,
        "flags": sorted(fit.flags),
        "two_drift_models": fit.interval is not None and analysis.two_models(fit),
        "drift": vars(fit.drift),
        "components": fit.components,
        "peak": peak and {"rpm": peak.where, "not_reached": peak.edge},
    }


def described_band(analysis, r1, r2, relative):
    band, limits = analysis.band(r1, r2, relative), analysis.band_limits(r1, r2, relative)
    as_mounted = None
    if limits is None and band.fit.as_mounted is not None and band.scope == "as_mounted_only":
        band = analysis.as_mounted_band(r1, r2, relative)
        as_mounted = band.exists and [off_scale(limit, relative) for limit in band.limits()]
    return {
        "range": [r1, r2],
        "unit": "%" if relative else "hp",
        "rpm": band.rpm,
        "gain": off_scale(band.gain, relative),
        "band": limits,
        "as_mounted_band": as_mounted,
        "pointwise": [off_scale(limit, relative) for limit in band.pointwise_limits()] if band.exists else None,
        "c": band.c if band.exists else None,
        "significant": limits and significant_ranges(band.rpm, *limits),
    }


def significant_ranges(rpm, low, high):
    """Maximal runs of grid points where the simultaneous band excludes 0 (method 5)."""
    sign = np.where(low > 0, 1, np.where(high < 0, -1, 0))
    starts = np.flatnonzero(np.r_[True, sign[1:] != sign[:-1]])
    ends = np.r_[starts[1:], len(rpm)] - 1
    return [
        {"from": rpm[start], "to": rpm[end], "sign": sign[start]} for start, end in zip(starts, ends) if sign[start]
    ]


def checked(session, analysis, claims):
    """The findings of method 8, second table: one for the session, and those of every run."""
    ranges = [claimed_range(claim) for claim in claims if claimed_range(claim)[0] is not None]
    r1 = min((r1 for r1, _ in ranges), default=session.grid.start)
    r2 = max((r2 for _, r2 in ranges), default=session.grid.end)
    per_run = {}
    for run in session.runs:
        per_run[run.id] = {"trace-sound": trace_sound(run.rpm, run.throttle, r1, r2)}
        if run.speed_kmh is not None:
            per_run[run.id]["speed-ratio-steady"] = speed_ratio_steady(*averaged(run.rpm, run.speed_kmh))
        if run.mixture is not None:
            per_run[run.id]["fuelling-sound"] = fuelling_sound(*averaged(run.rpm, run.mixture))
    return {"returned-to-baseline": baseline_check(session, analysis), "runs": per_run}


def baseline_check(session, analysis):
    """First and last baseline block, or None where modified runs do not separate two of them."""
    design = session.design
    block = np.cumsum(np.r_[0, np.diff(design.side) != 0])
    baseline = np.unique(block[design.side == 0])
    if len(baseline) < 2:
        return None
    blocks = [block == baseline[0], block == baseline[-1]]
    y, _ = analysis.quantity("band_mean", session.grid.start, session.grid.end)
    fit = analysis.gain("band_mean", session.grid.start, session.grid.end)
    same = len(set(design.mounting[blocks[0]]) | set(design.mounting[blocks[1]])) == 1
    v_mount = 0.0 if same else None
    if not same and analysis.record.holds("mount") and fit.v_repeat is not None:
        v_mount, _, _ = declared_mounting(fit.freed, design, analysis.record, fit.v_repeat, fit.level)
    return returned_to_baseline(
        [y[of].mean() for of in blocks],
        [int(of.sum()) for of in blocks],
        [design.t[of].mean() for of in blocks],
        fit.v_repeat,
        fit.nu_repeat,
        v_mount,
        fit.level * analysis.record.drift[0],
    )
