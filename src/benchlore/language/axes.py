"""What the values of an axis have to do with one another.

Specification: the workshop's trade reference, "values that exclude each other at one moment", and
rule 2 ("only X" also denies these values) and rule 3 (values with exactly one opposite).
"""

from __future__ import annotations

AXES = (
    "temp",
    "rpm",
    "load",
    "speed",
    "history",
    "steer",
    "road",
    "gear",
    "weather",
    "consumers",
    "course",
    "place",
)

_OPPOSITES = (
    ("temp", "cold", "hot"),
    ("gear", "clutch-down", "clutch-up"),
    ("consumers", "ac-on", "ac-off"),
    ("consumers", "lights-on", "lights-off"),
    ("load", "laden", "unladen"),
    ("road", "smooth", "rough"),
    ("weather", "wet-day", "dry-day"),
)

OPPOSITE: dict[tuple[str, str], str] = {}
"""The one opposite of a value, where there is exactly one."""
for _axis, _one, _other in _OPPOSITES:
    OPPOSITE[_axis, _one] = _other
    OPPOSITE[_axis, _other] = _one

COUNTERPART = OPPOSITE | {
    ("steer", "left"): "right",
    ("steer", "right"): "left",
    ("place", "front"): "rear",
    ("place", "rear"): "front",
    ("place", "left"): "right",
    ("place", "right"): "left",
    ("load", "uphill"): "downhill",
    ("load", "downhill"): "uphill",
}
"""What "not only X" adds."""

_ONLY = (
    ("temp", "cold hot"),
    ("rpm", "idle low mid high"),
    ("load", "accelerating steady overrun"),
    ("load", "uphill flat downhill"),
    ("load", "laden unladen"),
    ("steer", "left right straight"),
    ("gear", "clutch-down clutch-up"),
    ("consumers", "ac-on ac-off"),
    ("consumers", "lights-on lights-off"),
    ("weather", "wet-day dry-day"),
    ("place", "front rear"),
    ("road", "smooth rough"),
)


def _only_table() -> dict[tuple[str, str], tuple[str, ...]]:
    table = {}
    for axis, names in _ONLY:
        group = names.split()
        for name in group:
            table[axis, name] = tuple(other for other in group if other != name)
    table["steer", "full-lock"] = ("straight",)
    table["steer", "turning"] = ("straight",)
    return table


DENIED_BY_ONLY = _only_table()
"""Values that "only X" denies."""

_EXCLUSIVE = (
    ("temp", "cold warming hot overheated"),
    ("rpm", "off cranking idle low mid high"),
    ("rpm", "off cranking blip"),
    ("load", "standing pull-away full steady overrun neutral-roll"),
    ("load", "standing pull-away full steady neutral-roll braking"),
    ("load", "standing accelerating steady overrun neutral-roll"),
    ("load", "standing accelerating steady neutral-roll braking"),
    ("load", "standing pull-away light full"),
    ("load", "light accelerating overrun neutral-roll"),
    ("load", "light braking"),
    ("load", "laden unladen"),
    ("load", "towing unladen"),
    ("load", "uphill downhill flat"),
    ("speed", "stationary crawl low mid high"),
    ("history", "overnight heat-soak"),
    ("steer", "straight left right"),
    ("steer", "straight turning"),
    ("steer", "straight full-lock"),
    ("road", "smooth rough"),
    ("gear", "1 2 3 4 5 6 7 8 neutral park drive reverse"),
    ("gear", "top neutral park reverse 1 2"),
    ("gear", "clutch-down clutch-up"),
    ("weather", "wet-day dry-day"),
    ("weather", "cold-day hot-day"),
    ("weather", "frost hot-day"),
    ("weather", "snow hot-day"),
    ("consumers", "ac-on ac-off"),
    ("consumers", "lights-on lights-off"),
    ("course", "constant intermittent"),
    ("course", "tracks-rpm tracks-speed"),
    ("place", "front rear"),
    ("place", "left right"),
    ("place", "bank-1 bank-2"),
    ("place", "top-end bottom-end"),
)

EXCLUSIVE: frozenset[tuple[str, str, str]] = frozenset(
    (axis, one, other)
    for axis, names in _EXCLUSIVE
    for one in names.split()
    for other in names.split()
    if one != other
)
"""(axis, value, value) that cannot both hold at one moment."""

NEAR: dict[tuple[str, str, str], float] = {
    ("temp", "hot", "overheated"): 0.6,
    ("temp", "cold", "warming"): 0.5,
    ("temp", "hot", "warming"): 0.2,
    ("load", "full", "accelerating"): 0.8,
    ("load", "pull-away", "accelerating"): 0.6,
    ("load", "uphill", "accelerating"): 0.5,
    ("load", "light", "steady"): 0.6,
    ("load", "braking", "overrun"): 0.4,
    ("load", "towing", "laden"): 0.8,
    ("load", "neutral-roll", "overrun"): 0.2,
    ("steer", "left", "turning"): 0.7,
    ("steer", "right", "turning"): 0.7,
    ("steer", "full-lock", "turning"): 0.7,
    ("steer", "moving", "turning"): 0.4,
    ("steer", "full-lock", "left"): 0.3,
    ("steer", "full-lock", "right"): 0.3,
    ("road", "rough", "bump"): 0.6,
    ("road", "rough", "loose"): 0.4,
    ("gear", "bite", "clutch-up"): 0.2,
    ("gear", "upshift", "downshift"): 0.3,
    ("gear", "engaging", "reverse"): 0.3,
    ("weather", "cold-day", "frost"): 0.8,
    ("weather", "cold-day", "snow"): 0.6,
    ("weather", "frost", "snow"): 0.5,
    ("consumers", "all-loads-on", "lights-on"): 0.5,
    ("consumers", "all-loads-on", "screen-on"): 0.5,
    ("consumers", "all-loads-on", "blower-on"): 0.5,
    ("history", "overnight", "stood"): 0.5,
    ("history", "overnight", "laid-up"): 0.4,
    ("history", "stood", "laid-up"): 0.6,
    ("history", "overnight", "first-use"): 0.4,
    ("history", "heat-soak", "long-run"): 0.3,
    ("course", "gradual", "worsening"): 0.5,
    ("course", "intermittent", "random"): 0.4,
    ("course", "momentary", "first-seconds"): 0.3,
    ("rpm", "blip", "mid"): 0.3,
    ("place", "underbonnet", "front"): 0.4,
    ("place", "underbonnet", "top-end"): 0.5,
    ("place", "underbonnet", "bottom-end"): 0.5,
}
"""How far two different values are the same condition, 0..1: own estimates, no source."""


_ACROSS = (
    ("temp.cold", "history.overnight", 0.7),
    ("temp.cold", "history.stood", 0.4),
    ("temp.cold", "history.first-use", 0.4),
    ("temp.cold", "history.laid-up", 0.3),
    ("temp.cold", "weather.cold-day", 0.4),
    ("temp.cold", "weather.frost", 0.4),
    ("temp.cold", "course.first-seconds", 0.3),
    ("temp.warming", "history.first-use", 0.4),
    ("temp.hot", "history.heat-soak", 0.6),
    ("temp.hot", "history.long-run", 0.6),
    ("history.overnight", "course.first-seconds", 0.3),
    ("load.standing", "speed.stationary", 1.0),
    ("load.standing", "rpm.idle", 0.4),
    ("speed.stationary", "rpm.idle", 0.4),
    ("load.pull-away", "gear.bite", 0.6),
    ("load.pull-away", "speed.crawl", 0.5),
    ("load.pull-away", "gear.1", 0.4),
    ("load.neutral-roll", "gear.neutral", 0.6),
    ("weather.wet-day", "road.wet", 0.8),
    ("weather.wet-day", "history.after-wash", 0.5),
    ("road.wet", "history.after-wash", 0.4),
    ("consumers.steering-load", "steer.full-lock", 0.5),
)

ACROSS: dict[tuple[str, str, str, str], float] = {}
"""(axis, value, axis, value) of conditions on two axes that mostly hold together, and how far one
tells the other, 0..1: own estimates, no source."""
for _first, _second, _far in _ACROSS:
    (_axis, _one), (_beside, _other) = _first.split("."), _second.split(".")
    ACROSS[_axis, _one, _beside, _other] = ACROSS[_beside, _other, _axis, _one] = _far

BESIDE: dict[str, frozenset[str]] = {
    axis: frozenset((axis, *(key[2] for key in ACROSS if key[0] == axis))) for axis in AXES
}
"""The axes whose conditions may have to do with one of an axis: itself and those in `ACROSS`."""


def nearness(axis: str, one: str, other: str) -> float:
    """Return 0..1: how far two names on one axis are the same condition."""
    if one == other:
        return 1.0
    return NEAR.get((axis, one, other)) or NEAR.get((axis, other, one)) or 0.0


def excludes(axis: str, one: str, other: str) -> bool:
    """Say whether two names on one axis cannot both hold at one moment."""
    return (axis, one, other) in EXCLUSIVE
