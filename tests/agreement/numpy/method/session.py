"""What a comparison knows about its runs besides their curves: sides, mountings, days, drift covariate (method 1)."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np


def codes(labels):
    """Labels as integers 0, 1, 2, ..."""
    return np.unique(np.asarray(labels), return_inverse=True)[1]


def mounting_labels(mounting, side):
    """Mountings; an unknown one is the contiguous block of one side that the run stands in (method 1)."""
    block = np.cumsum(np.r_[0, np.diff(side) != 0])
    return [f"block {b}" if m is None else f"mounting {m}" for m, b in zip(mounting, block)]


def day_labels(day, count):
    """Days; runs without one share an extra day if the days of the others differ, else the day of the others (method 1)."""
    if day is None:
        return ["one"] * count
    known = sorted({str(d) for d in day if d is not None})
    missing = known[0] if len(known) == 1 else ""
    return [missing if d is None else str(d) for d in day]


def drift_covariate(start_s, mounting, day):
    """t of every run: gaps in units of their median inside a mounting and day, at most 4; 1 at every change (method 1).

    mounting and day are labels without gaps. Without usable start times t counts the runs.
    """
    count = len(mounting)
    in_turn = np.arange(count, dtype=float)
    if any(start is None for start in start_s):
        return in_turn
    gaps = np.diff(np.asarray(start_s, dtype=float))
    mounting, day = codes(mounting), codes(day)
    together = (np.diff(mounting) == 0) & (np.diff(day) == 0)
    if np.any(gaps <= 0) or not together.any():
        return in_turn
    steps = np.where(together, np.minimum(gaps / np.median(gaps[together]), 4), 1.0)
    return np.r_[0.0, np.cumsum(steps)]


@dataclass(frozen=True, eq=False)
class Design:
    """One row per run used, in sequence: side (0 baseline, 1 modified), mounting and day as codes, t, correction factor.

    bracketed: neither side ends before the other begins (method 7); warm_up_shape: f of the warm-up term (method 3.4).
    """

    side: np.ndarray
    mounting: np.ndarray
    day: np.ndarray
    t: np.ndarray
    factor: np.ndarray
    factors_known: bool
    bracketed: bool
    warm_up_shape: np.ndarray

    @classmethod
    def of(cls, side, mounting, day, t, factor):
        """From lists; mounting and day may have gaps (None), and so may the factors (method 1)."""
        side, t = np.asarray(side), np.asarray(t, dtype=float)
        known = all(f is not None for f in factor)
        return cls(
            side=side,
            mounting=codes(mounting_labels(mounting, side)),
            day=codes(day_labels(day, len(side))),
            t=t,
            factor=np.array(factor, dtype=float) if known else np.ones(len(side)),
            factors_known=known,
            bracketed=brackets(side, t),
            warm_up_shape=1 - np.exp(-t / 2),
        )

    @property
    def count(self):
        return len(self.side)

    @cached_property
    def both_sides_present(self):
        return len(np.unique(self.side)) == 2

    @cached_property
    def cell(self):
        """Codes of the cells (mounting, side)."""
        return codes(2 * self.mounting + self.side)

    @cached_property
    def cell_count(self):
        return int(self.cell.max()) + 1

    @cached_property
    def cell_average(self):
        """The matrix that turns values of runs into the mean of their cell."""
        same = self.cell[:, None] == self.cell
        return same / same.sum(axis=1, keepdims=True)

    def within_cells(self, values):
        """Values (or curves, one row per run) minus the mean of their cell."""
        return values - self.cell_average @ values

    @cached_property
    def side_average(self):
        """Two rows: the weights of the side means."""
        rows = np.array([self.side == 0, self.side == 1], dtype=float)
        return rows / rows.sum(axis=1, keepdims=True)

    @cached_property
    def t_centred(self):
        return self.t - self.t.mean()

    @cached_property
    def t_within(self):
        return self.within_cells(self.t)

    @cached_property
    def runs_of_mounting(self):
        return np.bincount(self.mounting)

    @cached_property
    def same_mounting(self):
        return (self.mounting[:, None] == self.mounting).astype(float)

    @cached_property
    def mountings_of_side(self):
        """The mountings that hold runs of either side."""
        return [np.unique(self.mounting[self.side == side]) for side in (0, 1)]

    @cached_property
    def shared_mountings(self):
        """The mountings that hold runs of both sides."""
        return np.intersect1d(*self.mountings_of_side)

    @cached_property
    def between_dof(self):
        """nu_s of method 3.5."""
        if len(self.shared_mountings):
            return 0
        baseline, modified = self.mountings_of_side
        return len(baseline) + len(modified) - 2

    @cached_property
    def restarted(self):
        """The same runs with drift that starts afresh at every mounting, or at every side of a single one (method 7).

        Whether the sides are bracketed, and how the engine warms up, stay what they are in the session.
        """
        start_of = self.mounting if len(self.runs_of_mounting) > 1 else self.side
        first = np.full(int(start_of.max()) + 1, np.inf)
        np.minimum.at(first, start_of, self.t)
        return replace(self, t=self.t - first[start_of])


def brackets(side, t):
    """Whether neither side ends before the other begins (method 7)."""
    baseline, modified = t[side == 0], t[side == 1]
    if not len(baseline) or not len(modified):
        return False
    return not (baseline.max() < modified.min() or modified.max() < baseline.min())
