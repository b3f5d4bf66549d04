"""Runs with their channels, and the session they make together (method 1, 2)."""

from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate

import numpy as np

from .curves import Grid, condition_sorted, sweep_order
from .peaks import Peaks
from .session import Design, day_labels, drift_covariate, mounting_labels

CHANNELS = ("rpm", "power_hp", "speed_kmh", "mixture", "throttle")


@dataclass(frozen=True, eq=False)
class Run:
    """One run: its facts, and the samples of its sweep by rising engine speed; None = not evidenced."""

    id: str
    side: int
    mounting: str | None
    day: str | None
    start_s: float | None
    factor: float | None
    rpm: np.ndarray
    power_hp: np.ndarray
    speed_kmh: np.ndarray | None = None
    mixture: np.ndarray | None = None
    throttle: np.ndarray | None = None
    ambient: tuple | None = None
    intake_c: float | None = None
    engine_c: float | None = None
    counter: int | None = None

    @classmethod
    def of_recording(cls, channels, **facts):
        """From raw channels in time order, all of one length: rpm, power_hp and those of the others there are."""
        order = sweep_order(channels["rpm"])
        return cls(**facts, **{name: channel[order] for name, channel in channels.items() if channel is not None})

    @cached_property
    def curve(self):
        return condition_sorted(self.rpm, self.power_hp)


class Session:
    """The runs of one comparison in sequence.

    in_sequence: all runs that have a place in it, also those that are not used; submitted: copies as well (method 1).
    """

    def __init__(self, runs, in_sequence=None, submitted=None):
        self.runs = runs
        self.in_sequence = runs if in_sequence is None else in_sequence
        self.submitted = self.in_sequence if submitted is None else submitted

    @cached_property
    def grid(self):
        return Grid.of([run.curve for run in self.runs])

    @cached_property
    def design(self):
        every = self.in_sequence
        mounting = mounting_labels([run.mounting for run in every], np.array([run.side for run in every]))
        day = day_labels([run.day for run in every], len(every))
        t = drift_covariate([run.start_s for run in every], mounting, day)
        place = {id(run): k for k, run in enumerate(every)}
        at = [place[id(run)] for run in self.runs]
        return Design.of(
            [run.side for run in self.runs],
            [mounting[k] for k in at],
            [run.day for run in self.runs],
            t[at],
            [run.factor for run in self.runs],
        )

    @cached_property
    def peaks(self):
        return Peaks(self.grid, self.design)

    def excluding(self, ids):
        """Without some runs, whose place in the sequence stays (method 1)."""
        return Session(without(self.runs, ids), self.in_sequence, self.submitted)

    def dropping(self, ids):
        """Without copies, which have no place in the sequence (method 1, 8)."""
        return Session(without(self.runs, ids), without(self.in_sequence, ids), self.submitted)

    def sorted_by_start(self):
        """The same runs in the order of their start times; one without goes with the run ahead of it (method 8)."""
        used = {run.id for run in self.runs}
        known = accumulate((run.start_s for run in self.in_sequence), lambda last, start: last if start is None else start)
        starts = [-np.inf if start is None else start for start in known]
        places = sorted(range(len(starts)), key=starts.__getitem__)
        in_sequence = [self.in_sequence[place] for place in places]
        return Session([run for run in in_sequence if run.id in used], in_sequence, self.submitted)


def without(runs, ids):
    return [run for run in runs if run.id not in ids]
