"""Peaks of power and torque (method 6)."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from .curves import STEP

TORQUE_OF_HP = 7120.8


@dataclass(frozen=True, eq=False)
class Peak:
    """One value per run at the vertex of its side's mean curve; edge: a side has its maximum at an end of the grid."""

    values: np.ndarray
    where: tuple
    edge: bool


def torque_curves(rpm, power_hp):
    """N m from smoothed power in hp (method 6)."""
    return power_hp * TORQUE_OF_HP / rpm


def find_peak(rpm, curves, design):
    values, where, edge = np.empty(design.count), [], False
    for side, mean in enumerate(design.side_average @ curves):
        of, j = design.side == side, int(np.argmax(mean))
        if j in (0, len(rpm) - 1):
            values[of], edge = curves[of, j], True
            where.append(float(rpm[j]))
            continue
        before, at, after = mean[j - 1 : j + 2]
        bend = before - 2 * at + after
        d = float(np.clip((before - after) / (2 * bend), -0.5, 0.5)) if bend < 0 else 0.0
        values[of] = curves[of, j - 1 : j + 2] @ [d * (d - 1) / 2, 1 - d * d, d * (d + 1) / 2]
        where.append(float(rpm[j] + STEP * d))
    return Peak(values, tuple(where), edge)


@dataclass(frozen=True, eq=False)
class Peaks:
    """The peaks of power and of torque of one set of runs."""

    grid: object
    design: object

    @cached_property
    def power(self):
        return find_peak(self.grid.rpm, self.grid.smooth, self.design)

    @cached_property
    def torque(self):
        return find_peak(self.grid.rpm, torque_curves(self.grid.rpm, self.grid.smooth), self.design)
