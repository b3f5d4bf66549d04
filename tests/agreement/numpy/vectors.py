"""The published vectors of the method against this implementation: python3 vectors.py DIR

Prints every deviation (vector, path, got, want) and a total per kind; exit code 1 if there is one.
"""

import json
import sys
from collections import Counter
from pathlib import Path

import numpy as np

from method.analysis import Analysis
from method.band import Crossing, fit_band
from method.checks import fuelling_sound, returned_to_baseline, speed_ratio_steady, trace_sound
from method.claims import assess_claims, holm, weighted_graph
from method.curves import condition
from method.detectors import Evidence, atmospheric_factor, detect
from method.gain import estimate_gain, local_share
from method.interval import interval_of, t_quantile
from method.record import InvalidInput, Record, fill_record
from method.runs import Run, Session
from method.session import Design, day_labels, drift_covariate
from method.studies import mounting_study, prior_of_variances

ABSOLUTE = 1e-12
SETS = ("flags", "runs", "filled")


def record_and_warm_up(fields):
    fields = dict(fields or {})
    warm_up = fields.pop("warm_up", False)
    return Record.of(fields), warm_up


def session_of(runs):
    """The session of a vector's runs, in sequence."""
    return Session([run_of(run) for run in runs])


def run_of(run):
    ambient = run.get("ambient")
    channels = {"rpm": "rpm", "power_hp": "power_hp", "speed_kmh": "speed_kmh", "mixture": "lambda"}
    return Run.of_recording(
        {name: np.array(run[of], dtype=float) for name, of in channels.items() if of in run},
        id=run["id"],
        side=run["side"],
        mounting=run["mount"],
        day=run["day"],
        start_s=run["start_s"],
        factor=run["cf"],
        ambient=ambient and (ambient["temp_c"], ambient["baro_kpa"], ambient["rh"]),
        intake_c=run.get("intake_c"),
        engine_c=run.get("engine_c"),
        counter=run.get("counter"),
    )


def interval_fields(interval):
    if interval is None:
        return None
    return {
        "rule": interval.rule,
        "u": interval.u,
        "dof": interval.dof,
        "k": interval.k,
        "lo": interval.low,
        "hi": interval.high,
        "comp": np.column_stack([interval.variances, interval.dofs]).tolist(),
    }


def percent(interval):
    return interval and [100 * np.expm1(limit) for limit in (interval.low, interval.high)]


def scalar(given):
    try:
        record, warm_up = record_and_warm_up(given["facility"])
    except InvalidInput:
        return {"error": "validation"}
    y, level = np.array(given["y"], dtype=float), None
    if given["relative"]:
        y, level = np.log(y), 1.0
    design = Design.of(given["side"], given["mount"], given["day"], given["t"], given["cf"])
    fit = estimate_gain(y, design, record, given["band_width_rpm"], level, warm_up)
    root = {name: None if v is None else np.sqrt(v) for name, v in (("s_r", fit.v_repeat), ("s_m", fit.v_mount))}
    return root | {
        "P0": fit.level,
        "contrast": fit.contrast.weights.tolist(),
        "c_r": fit.contrast.run,
        "c_m": fit.contrast.mount,
        "c_d": fit.contrast.drift,
        "drift": {"slope": fit.drift.slope, "z": fit.drift.z, "p": fit.drift.p, "flag": fit.drift.flagged},
        "estimate": fit.estimate,
        "bracketed": fit.bracketed,
        "nu_within": fit.nu_within,
        "nu_r": fit.nu_repeat,
        "mode_r": fit.mode_repeat,
        "nu_m": fit.nu_mount,
        "mode_m": fit.mode_mount,
        "flags": sorted(fit.flags),
        "scope": fit.scope,
        "components": fit.components and {name: {"var": v, "dof": dof} for name, (v, dof) in fit.components.items()},
        "ci": interval_fields(fit.interval),
        "as_mounted": interval_fields(fit.as_mounted),
        "gain_pct": 100 * np.expm1(fit.estimate),
        "ci_pct": percent(fit.interval),
        "as_mounted_pct": percent(fit.as_mounted),
    }


def one_sided_p(given):
    results = []
    for case in given["cases"]:
        interval = interval_of(given["estimate"], case["components"], case["howe_forced"])
        p = {"p_le": [interval.p_at_most(x) for x in given["x"]], "p_ge": [interval.p_at_least(x) for x in given["x"]]}
        results.append(interval_fields(interval) | p)
    return results


def rice_c(given):
    return [
        Crossing(np.sqrt(case["uG2"]), case["nuG"], np.sqrt(case["uL2"]), case["kappa"]).critical_value(
            case["level"], case["sides"]
        )
        for case in given["cases"]
    ]


def time_covariate(given):
    return [
        drift_covariate(case["start_s"], case["mount"], day_labels(case["day"], len(case["mount"]))).tolist()
        for case in given["cases"]
    ]


def factor_of(given):
    return [float(atmospheric_factor(*case)) for case in given["cases"]]


def corrections(given):
    return {
        "holm": [holm(p).tolist() for p in given["holm"]],
        "graph": [weighted_graph(case["p"], case["primary"]).tolist() for case in given["graph"]],
    }


def facility_prior(given):
    results = []
    for case in given["cases"]:
        s0_2, d0, d_r = prior_of_variances(case["s2"], case["dof"])
        results.append({"s0_2": s0_2, "d0": "Infinity" if np.isinf(d0) else d0, "d_r": d_r})
    return results


def study(given):
    return [mounting_study(case["y"], case["mount"], case["l"], case["ell"], case["W"]) for case in given["cases"]]


def fill(given):
    results = []
    for case in given["cases"]:
        record, filled = fill_record(Record.of(case["record"]), case["values"], case["status"])
        results.append({"record": record.declared(), "filled": filled})
    return results


def band(given):
    record, warm_up = record_and_warm_up(given["facility"])
    session = session_of(given["runs"])
    found = fit_band(session.grid, session.design, record, given["r1"], given["r2"], given["relative"], warm_up=warm_up)
    result = {"ok": found.exists, "scope": found.scope, "rpm": found.rpm[::5].tolist(), "D": found.gain[::5].tolist()}
    if not found.exists:
        return result
    low, high = found.limits()
    return result | {
        "u": found.u[::5].tolist(),
        "lo": low[::5].tolist(),
        "hi": high[::5].tolist(),
        "c": found.c,
        "kappa": found.crossing.kappa,
        "uG": found.crossing.u_global,
        "uL": found.crossing.u_local,
        "dofG": found.crossing.dof,
        "dof_pt": found.dof_pointwise,
        "k_pt": found.k_pointwise,
    }


def peak(given):
    peaks = session_of(given["runs"]).peaks
    return {
        name: {"y": of.values.tolist(), "where": dict(zip("01", of.where)), "edge": of.edge}
        for name, of in (("power", peaks.power), ("torque", peaks.torque))
    }


def analyse(given):
    record, warm_up = record_and_warm_up(given["facility"])
    session = session_of(given["runs"])
    analysis = Analysis(session.grid, session.design, record, warm_up)
    return {"t": session.design.t.tolist(), "claims": assess_claims(given["claims"], analysis, given["plan"])}


def detected(given):
    counter = given["counter"] and (given["counter"]["first"], given["counter"]["last"])
    findings = detect(Evidence(session_of(given["runs"]), Record.of(given["facility"]), counter))
    return [{"check": f.check, "runs": list(f.runs), "observed": f.observed, "limit": f.limit} for f in findings]


def checks(given):
    def pair(case, name):
        return case[f"{name}1"], case[f"{name}2"]

    def channel(case, name):
        return None if case[name] is None else np.array(case[name], dtype=float)

    return {
        "returned": [
            returned_to_baseline(
                *(pair(case, name) for name in "mnt"),
                case["v_r"],
                case["nu_r"],
                case["v_m"] if case["other_mounting"] else 0.0,
                case["sigma_d"],
            )
            for case in given["returned"]
        ],
        "ratio": [speed_ratio_steady(channel(case, "rpm"), channel(case, "speed")) for case in given["ratio"]],
        "fuelling": [fuelling_sound(channel(case, "rpm"), channel(case, "lam")) for case in given["fuelling"]],
        "trace": [
            trace_sound(channel(case, "rpm"), channel(case, "throttle"), case["r1"], case["r2"]) for case in given["trace"]
        ],
    }


def condition_recording(given):
    rpm, power = condition(np.array(given["speed"]), np.array(given["power"]))
    return {"n": len(rpm), "rpm": rpm[::10].tolist(), "power": power[::10].tolist()}


KINDS = {
    "scalar": scalar,
    "time_covariate": time_covariate,
    "one_sided_p": one_sided_p,
    "rice_c": rice_c,
    "h_band": lambda given: [float(local_share(width / given["ell"])) for width in given["W"]],
    "t_quantile": lambda given: [float(t_quantile(given["p"], nu)) for nu in given["nu"]],
    "cf": factor_of,
    "corrections": corrections,
    "facility_prior": facility_prior,
    "study": study,
    "fill_record": fill,
    "band": band,
    "peak": peak,
    "analyse": analyse,
    "detect": detected,
    "checks": checks,
    "condition": condition_recording,
}


def deviations(got, want, tolerance, path):
    """Where got differs from what want names."""
    if isinstance(want, dict):
        if not isinstance(got, dict):
            yield path, got, want
            return
        for name, value in want.items():
            where = f"{path}.{name}" if path else name
            if name in SETS and isinstance(value, list):
                if name not in got or sorted(got[name]) != sorted(value):
                    yield where, got.get(name), value
            elif name not in got:
                yield where, "missing", value
            else:
                yield from deviations(got[name], value, tolerance, where)
    elif isinstance(want, list):
        if not isinstance(got, list) or len(got) != len(want):
            yield path, got, want
            return
        for place, (one, other) in enumerate(zip(got, want)):
            yield from deviations(one, other, tolerance, f"{path}[{place}]")
    elif isinstance(want, bool) or not isinstance(want, (int, float)):
        if got != want:
            yield path, got, want
    elif isinstance(got, (bool, str, type(None))) or not abs(got - want) <= tolerance * abs(want) + ABSOLUTE:
        yield path, got, want


def main(folder):
    passed, failed = Counter(), Counter()
    for file in sorted(Path(folder).glob("*.json")):
        vector = json.loads(file.read_text())
        try:
            wrong = list(deviations(KINDS[vector["kind"]](vector["input"]), vector["expected"], vector["tol"], ""))
        except Exception as failure:
            wrong = [("", repr(failure), "a result")]
        for path, got, want in wrong:
            print(f"{vector['name']} {path}: got {got}, want {want}")
        (failed if wrong else passed)[vector["kind"]] += 1
    for kind in sorted(passed | failed):
        print(f"{kind}: {passed[kind]} of {passed[kind] + failed[kind]}")
    print(f"total: {passed.total()} of {passed.total() + failed.total()}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
