"""Variance budgets as intervals and one-sided p-values (method 3.6)."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy import optimize, special

P_FLOOR = 1e-9
LEVEL = 0.975
NEGLIGIBLE = 0.001
WS_LEAST_DOF = 4
LARGEST_DOF = 1e6


def t_tail(x, nu):
    """P(t_nu > x)."""
    return special.stdtr(nu, -x)


def t_quantile(p, nu):
    """t(p; nu) for fractional and for infinite (1e9) degrees of freedom.

    Above 1e7 the method has an expansion about the normal quantile; scipy agrees with it to 1e-14.
    """
    return special.stdtrit(nu, p)


def floored(p):
    """No p of the method is written below 1e-9."""
    return max(float(p), P_FLOOR)


def dof_of_factor(k):
    """The degrees of freedom whose t(0.975) is k, at most 1e6 (method 3.6)."""
    if k <= t_quantile(LEVEL, LARGEST_DOF):
        return LARGEST_DOF
    return min(float(special.stdtridf(LEVEL, k)), LARGEST_DOF)


def howe_tail(excess, variances, dofs):
    """The alpha with sum t(1 - alpha, nu_j)^2 v_j = excess^2 (method 3.6)."""
    if excess == 0:
        return 0.5
    if excess < 0:
        return 1 - howe_tail(-excess, variances, dofs)

    def surplus(log_alpha):
        return t_quantile(np.exp(log_alpha), dofs) ** 2 @ variances - excess**2

    lowest = np.log(P_FLOOR)
    if surplus(lowest) <= 0:
        return P_FLOOR
    return float(np.exp(optimize.brentq(surplus, lowest, np.log(0.5), xtol=1e-12)))


@dataclass(frozen=True, eq=False)
class Interval:
    """A 95 % interval from a budget of variance components, and the p-values that agree with it."""

    centre: float
    variances: np.ndarray
    dofs: np.ndarray
    howe_forced: bool

    @cached_property
    def u(self):
        return float(np.sqrt(self.variances.sum()))

    @cached_property
    def rule(self):
        weighty = self.variances > NEGLIGIBLE * self.variances.sum()
        return "howe" if self.howe_forced or np.any(self.dofs[weighty] < WS_LEAST_DOF) else "ws"

    @cached_property
    def satterthwaite_dof(self):
        return float(self.variances.sum() ** 2 / np.sum(self.variances**2 / self.dofs))

    @cached_property
    def k(self):
        if self.rule == "ws":
            return float(t_quantile(LEVEL, self.satterthwaite_dof))
        return float(np.sqrt(t_quantile(LEVEL, self.dofs) ** 2 @ self.variances)) / self.u

    @cached_property
    def dof(self):
        return self.satterthwaite_dof if self.rule == "ws" else dof_of_factor(self.k)

    @property
    def low(self):
        return self.centre - self.k * self.u

    @property
    def high(self):
        return self.centre + self.k * self.u

    def tail(self, excess):
        if self.rule == "ws":
            return t_tail(excess / self.u, self.satterthwaite_dof)
        return howe_tail(excess, self.variances, self.dofs)

    def p_at_most(self, x):
        """p(theta <= x)."""
        return floored(self.tail(self.centre - x))

    def p_at_least(self, x):
        """p(theta >= x)."""
        return floored(self.tail(x - self.centre))


def interval_of(centre, components, howe_forced):
    """The interval of (variance, dof) components; None if they are all 0."""
    variances, dofs = np.array(list(components), dtype=float).reshape(-1, 2).T
    return Interval(float(centre), variances, dofs, howe_forced) if variances.any() else None
