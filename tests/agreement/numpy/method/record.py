"""Facility records: fields, defaults, filling (method 1)."""

from dataclasses import asdict, dataclass, field

INFINITE = 1e9
GROUPS = {
    "repeat": ("repeat_global_rel_sd", "repeat_dof"),
    "mount": ("mount_rel_sd", "mount_dof"),
    "day": ("day_rel_sd", "day_dof"),
}
FILLED_DOF = 3.0
BORROWED = ("network", "assumed")

TYPICAL = {
    "repeat_global_rel_sd": 0.005,
    "repeat_local_rel_sd": 0.003,
    "local_corr_rpm": 200.0,
    "mount_rel_sd": 0.005,
    "day_rel_sd": 0.005,
}
CAUTIOUS = {
    "repeat_global_rel_sd": 0.008,
    "repeat_local_rel_sd": 0.005,
    "local_corr_rpm": 200.0,
    "mount_rel_sd": 0.010,
    "day_rel_sd": 0.008,
}


class InvalidInput(ValueError):
    """What the method calls a validation error."""


@dataclass(frozen=True)
class Record:
    """Relative standard deviations of a facility and their degrees of freedom; None = not declared (method 1)."""

    repeat_global_rel_sd: float | None = None
    repeat_dof: float | None = None
    repeat_local_rel_sd: float | None = None
    local_corr_rpm: float | None = None
    local_profile: list | None = None
    mount_rel_sd: float | None = None
    mount_dof: float | None = None
    mount_shape_rel_sd: float | None = None
    mount_spacing_min: float | None = None
    day_rel_sd: float | None = None
    day_dof: float | None = None
    drift_rel_sd_per_run: float | None = None
    drift_dof: float | None = None
    ambient_frac_sd: float | None = None
    ambient_dof: float | None = None
    ratio_intercept_mount_sd: float | None = None
    ratio_intercept_run_sd: float | None = None
    slip_slope_mount_sd: float | None = None
    slip_slope_run_sd: float | None = None
    ratio_dof: float | None = None
    status: dict = field(default_factory=dict)

    def __post_init__(self):
        for sd, dof in GROUPS.values():
            if (getattr(self, sd) is None) != (getattr(self, dof) is None):
                raise InvalidInput(f"{sd} and {dof} come together")
        if self.repeat_global_rel_sd is not None and self.repeat_global_rel_sd <= 0:
            raise InvalidInput("repeat_global_rel_sd is above 0")
        if self.mount_rel_sd is not None and self.mount_rel_sd < 0:
            raise InvalidInput("mount_rel_sd is not negative")

    @classmethod
    def of(cls, fields):
        """The record with these fields; None is the empty record."""
        return cls(**(fields or {}))

    def declared(self):
        """The declared fields only."""
        return {name: value for name, value in asdict(self).items() if value is not None and value != {}}

    def holds(self, group):
        return getattr(self, GROUPS[group][0]) is not None

    def borrowed(self, group):
        """Whether a group forces the rule of Howe (method 1, 3.6)."""
        return self.status.get(group) in BORROWED

    def value_or(self, name, default):
        value = getattr(self, name)
        return default if value is None else value

    @property
    def global_sd(self):
        return self.value_or("repeat_global_rel_sd", 0.005)

    @property
    def prior_dof(self):
        return self.value_or("repeat_dof", 0.0)

    @property
    def local_sd(self):
        return self.value_or("repeat_local_rel_sd", 0.003)

    @property
    def correlation(self):
        return self.value_or("local_corr_rpm", 200.0)

    @property
    def tilt_sd(self):
        return self.value_or("mount_shape_rel_sd", 0.3 * self.value_or("mount_rel_sd", 0.0))

    @property
    def drift(self):
        return self.value_or("drift_rel_sd_per_run", 0.002), self.value_or("drift_dof", INFINITE)

    @property
    def ambient(self):
        return self.value_or("ambient_frac_sd", 0.25), self.value_or("ambient_dof", INFINITE)


def fill_record(record, values, status):
    """The record whose absent groups hold borrowed values, and the groups that were filled (method 1, conditional).

    Fields that are present stay. A filled group has 3 degrees of freedom, or those of a network record if fewer.
    """
    fields, filled = record.declared(), []
    for group, (sd, dof) in GROUPS.items():
        if record.holds(group) or sd not in values:
            continue
        fields[sd] = values[sd]
        fields[dof] = min(values.get(dof, FILLED_DOF), FILLED_DOF)
        if group == "repeat":
            for name in ("repeat_local_rel_sd", "local_corr_rpm"):
                if name in values:
                    fields.setdefault(name, values[name])
        filled.append(group)
    fields["status"] = record.status | {group: status for group in filled}
    return Record.of(fields), filled
