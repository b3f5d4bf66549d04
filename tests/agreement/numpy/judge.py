"""The whole method in numpy and scipy: python3 judge.py ROUNDS < sessions.json

Reads a list of sessions and judges each, from raw samples to judgements: once, or in ROUNDS rounds that are timed after two that
are not. Prints a list of {"ms": [CPU milliseconds of every round], "result": {...}}.

A session is one JSON object; null or a missing member = not evidenced:
  runs         list in sequence; copies and excluded runs with it
    id         string
    side       0 baseline, 1 modified
    mounting   string or null
    day        string, number or null
    start_s    seconds from any origin, or null
    factor     correction factor that is in the power already, or null
    engine_speed, power      samples in time order: rpm, hp; all sample lists of a run have one length
    speed_kmh, lambda, throttle    further samples, or null
    ambient    {"temp_c", "baro_kpa", "rh"} (degrees C, kPa, 0 to 1), or null
    intake_c, engine_c       intake air (mean of the run) and engine at the start of the run, degrees C, or null
    counter    number of the run on the rig, or null
    used       false: excluded by rule, keeps its place in the sequence only; true if missing
  record       fields of the facility record with its status, or null
  network      values of a network record (repeat_global_rel_sd, mount_rel_sd, ...), or null: typical and cautious values
  claims       list: id, type, metric, r1, r2, rpm, x, tol, margin, unit ("%" or none: hp, N m for peak_torque)
  plan         {"primary", "registered", "q"} of a registered plan that passed its checks, or null
  counter      {"first", "last"} of the rig over the session, or null
  short_of_pulls   true: a mounting lacks 3 conditioning pulls; false if missing

Result: copies_dropped, findings (check, runs, observed, limit), gates, flags, plain and conditional.typical/cautious/network
(gains: metric, unit, gain, interval; bands: range, unit, rpm, gain, band [low, high], c; claims: p_support, p_contra,
adj_support, adj_contra, judgement, reason, estimate, lo, hi), without_outliers where a run is named, checks;
or not_assessable with the reason.
"""

import os

# The clock of the process adds up its threads: one thread makes CPU time the time that is waited for.
for variable in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(variable, "1")

import json
import sys
import time

import numpy as np

from method.comparison import compare
from method.gain import NotAssessable
from method.record import Record
from method.runs import Run, Session

WARM_UPS = 2
CHANNELS = {"rpm": "engine_speed", "power_hp": "power", "speed_kmh": "speed_kmh", "mixture": "lambda", "throttle": "throttle"}
FACTS = ("id", "side", "mounting", "day", "start_s", "factor", "intake_c", "engine_c", "counter")


def as_arrays(run):
    """Sample lists of one run as arrays, which is reading and not part of the method."""
    return {name: np.array(run[of], dtype=float) for name, of in CHANNELS.items() if run.get(of) is not None}


def one_round(given, recordings):
    runs = []
    for run, channels in zip(given["runs"], recordings):
        air = run.get("ambient")
        facts = {name: run.get(name) for name in FACTS}
        runs.append(Run.of_recording(channels, **facts, ambient=air and (air["temp_c"], air["baro_kpa"], air["rh"])))
    used = [run for run, source in zip(runs, given["runs"]) if source.get("used", True)]
    counter = given.get("counter")
    try:
        return compare(
            Session(used, runs),
            Record.of(given.get("record")),
            given["claims"],
            given.get("plan"),
            given.get("network"),
            counter and (counter["first"], counter["last"]),
            given.get("short_of_pulls", False),
        )
    except NotAssessable as reason:
        return {"not_assessable": str(reason)}


def judged(given, rounds):
    """What the method says of one session, and how long each timed round took."""
    recordings = [as_arrays(run) for run in given["runs"]]
    figures = []
    for turn in range(-WARM_UPS if rounds else 0, rounds):
        before = time.process_time()
        result = one_round(given, recordings)
        if turn >= 0:
            figures.append(1000 * (time.process_time() - before))
    return {"ms": figures, "result": result if rounds else one_round(given, recordings)}


def main(rounds):
    answers = [judged(given, rounds) for given in json.load(sys.stdin)]
    json.dump(answers, sys.stdout, default=lambda of_numpy: of_numpy.tolist())


if __name__ == "__main__":
    main(int(sys.argv[1]))
