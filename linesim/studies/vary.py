"""Any field of a scenario, one or two at a time: a curve or a map of what the line makes."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from linesim.scenario import FieldDescription, Scenario, ScenarioFaults, check_mapping
from linesim.scenario.changed_law import with_mean
from linesim.scenario.faults import Path
from linesim.scenario.field_labels import path_label
from linesim.scenario.field_messages import field_at, is_law
from linesim.scenario.fields import values_of
from linesim.scenario.spelling import nearest
from linesim.statistics import Choice, Interval
from linesim.studies.changes import Data, bridge_fields, data_of
from linesim.studies.differences import Difference, between, mean_of, reams
from linesim.studies.faster_but_less import FasterButLess, faster_but_less
from linesim.studies.field_names import FieldError, paths_of
from linesim.studies.outcome import Outcome
from linesim.studies.plants import choice_by_reams
from linesim.studies.runner import Runner

_MOST_POINTS, _USUAL_POINTS = 400, (5, 4, 7, 6, 3, 2)
_NO_HINT = 10.0
"""How far to go where nothing says how far."""

BRIDGE_SIZES = ("bridge.places", "bridge.length_m")
"""Fields that mean another bridge: what goes with its size follows, as where a size is sought."""


@dataclass(frozen=True)
class Span:
    """A field and the values it takes, in order. ``unit`` is that of the field."""

    name: str
    values: tuple[float, ...]
    unit: str
    whole: bool
    label: str
    """What people call the field."""


@dataclass(frozen=True)
class Point:
    """The line with these values of the fields; ``refused`` says why it is no line."""

    values: tuple[float, ...]
    reams_per_week: Interval | None
    oee: Interval | None
    waste: Interval | None
    against_best: Difference | None
    """Best less this one; None for the best itself."""
    gain: Difference | None
    """Reams a week more than the line as it is, same draws."""
    refused: str = ""


@dataclass(frozen=True)
class Varied:
    """The curve or map. ``best`` is its highest point, ``alike`` those not told from it."""

    spans: tuple[Span, ...]
    points: tuple[Point, ...]
    best: Point
    alike: tuple[Point, ...]
    present: Difference | None
    """Best less the line as it is; None where that is the best."""
    present_values: tuple[float | None, ...]
    runs: int
    choice: Choice | None = None
    """Which of the points that make a line makes most, in plants that agree with what is known;
    None where nothing is doubted."""
    too_fast: tuple[Point, FasterButLess] | None = None
    """The point with a faster sheeter than the best that its starts cost most, and what."""


def read_span(scenario: Scenario, text: str) -> Span:
    """``section.field=from:to:count`` or ``section.field=a,b,c``, checked against the scenario.

    The field goes by the names of :func:`~linesim.studies.field_names.paths_of`.
    A field that holds a law is scaled so that its mean takes the values. Fields of whole numbers
    take the nearest whole numbers. Raises :class:`FieldError`.

    >>> from linesim.scenario import check_mapping
    >>> read_span(check_mapping({}), "crew.size=2:6:3").values
    (2.0, 4.0, 6.0)
    """
    name, sign, right = text.rpartition("=")
    name = name.strip()
    if not sign or not right.strip():
        raise FieldError(f"{text!r} is not of the form section.field=from:to:count")
    values = read_values(right, text)
    field = _field(scenario, name)
    whole = field.kind == "whole"
    if whole:
        values = tuple(float(round(value)) for value in values)
    return Span(name, tuple(dict.fromkeys(values)), field.unit, whole, _label(scenario, name))


def _label(scenario: Scenario, name: str) -> str:
    data = data_of(scenario)
    path = paths_of(data, name)[0]
    mean = ", mean" if is_law(field_at(path, data)[1]) else ""
    return f"{path_label(path, data)}{mean}"


def read_values(right: str, text: str) -> tuple[float, ...]:
    """``from:to:count`` or ``a,b,c``; ``text`` is where it stands. Raises :class:`FieldError`."""
    try:
        if ":" not in right:
            return tuple(_number(part) for part in right.split(","))
        start, end, count = right.split(":")
        low, high, steps = _number(start), _number(end), int(count)
    except ValueError:
        raise FieldError(
            f"{text!r}: {right!r} is not from:to:count, such as 20:120:6, nor values a,b,c"
        ) from None
    if not 2 <= steps <= _MOST_POINTS:
        raise FieldError(f"{text!r}: the count is {steps}; it must be 2 to {_MOST_POINTS}")
    return tuple(low + (high - low) * n / (steps - 1) for n in range(steps))


def _number(text: str) -> float:
    if not re.fullmatch(r"\s*[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d{1,3})?\s*", text, re.IGNORECASE):
        raise ValueError(text)
    return float(text)


def _field(scenario: Scenario, name: str) -> FieldDescription:
    data = data_of(scenario)
    path = paths_of(data, name)[0]
    names, field = field_at(path, data)
    if field is None:
        guess = nearest(str(path[-1]), names)
        hint = f"; did you mean {guess}?" if guess else ""
        raise FieldError(f"there is no field {name!r} in a scenario{hint}")
    if field.kind not in ("whole", "number", "law"):
        raise FieldError(f"{name} holds no number, so it has no values from and to")
    return field


def with_values(scenario: Scenario, spans: Sequence[Span], values: Sequence[float]) -> Scenario:
    """The line with the fields set. Raises ``ScenarioFaults`` where that is no line.

    A bridge of another size is the one that :func:`~linesim.studies.changes.with_bridge` makes,
    but for what another field says.
    """
    data = data_of(scenario)
    given = dict(zip((span.name for span in spans), values, strict=True))
    for span, value in zip(spans, values, strict=True):
        if span.name not in BRIDGE_SIZES:
            for path in paths_of(data, span.name):
                _set(data, span, path, value)
    for name in BRIDGE_SIZES:
        if name in given:
            for field, value in _with_size(data, name, given[name]).items():
                if field == name or field not in given:
                    table, _, last = field.partition(".")
                    data[table][last] = value
    return check_mapping(data, file=scenario.line.name)


def _set(data: Data, span: Span, path: Path, value: float) -> None:
    _, field = field_at(path, data)
    owner: Any = data
    try:
        for part in path[:-1]:
            owner = owner[part] if isinstance(part, int) else owner.setdefault(part, {})
        last: Any = path[-1]
        if is_law(field) and last in owner:
            owner[last] = with_mean(owner[last], value)
        else:
            owner[last] = int(value) if span.whole else value
    except (IndexError, KeyError, TypeError, AttributeError):
        raise FieldError(f"{span.name} leads nowhere in this scenario") from None


def _with_size(data: Data, name: str, size: float) -> Data:
    """What gives the line a bridge of that size, all else being as ``data`` says."""
    try:
        line = Scenario.model_validate(data)
    except ValidationError:
        return {name: size}  # another field is at fault, and is named
    if name == "bridge.places":
        return bridge_fields(line, int(size))
    if size == line.bridge_length_m:
        return {}
    return bridge_fields(line, line.bridge.belt.places_within(size)) | {name: size}


def present_value(scenario: Scenario, name: str) -> float | None:
    """What the field is now; the mean where it holds a law, None where it is not given."""
    if name in BRIDGE_SIZES:
        # One may stand for the other.
        places = name == "bridge.places"
        return float(scenario.bridge_places if places else scenario.bridge_length_m)
    found = {_present(scenario, path) for path in paths_of(data_of(scenario), name)}
    return found.pop() if len(found) == 1 else None


def span_around(scenario: Scenario, name: str) -> Span:
    """The field from half to twice what it is now, within what it may be.

    Where it is 0 or not given: from end to end of what is usual, or of what may be. Raises
    :class:`FieldError`.

    >>> from linesim.scenario import check_mapping
    >>> span_around(check_mapping({"crew": {"size": 4}}), "crew.size").values
    (2.0, 4.0, 6.0, 8.0)
    """
    field = _field(scenario, name)
    low = field.low if field.low is not None else field.above or 0.0
    high = math.inf if field.high is None else field.high
    whole = field.kind == "whole"
    now = present_value(scenario, name)
    ends = field.typical or (low, high if high < math.inf else low + _NO_HINT)
    if now:
        ends = (now / 2, 2 * now)
    start, end = (min(max(each, low), high) for each in ends)
    points = _USUAL_POINTS[0]
    if whole:
        start, end = math.ceil(start), math.floor(end)
        # Steps of whole numbers.
        points = next((n for n in _USUAL_POINTS if (end - start) % (n - 1) == 0), points)
    return read_span(scenario, f"{name}={start:.12g}:{end:.12g}:{points}")


def _present(scenario: Scenario, path: Path) -> float | None:
    value: Any = scenario
    for part in path:
        if value is None:
            return None
        value = value[part] if isinstance(part, int) else values_of(value)[part]
    if hasattr(value, "average"):
        return float(value.average())
    return None if value is None else float(value)


def vary(scenario: Scenario, runner: Runner, spans: Sequence[Span]) -> Varied:
    """Run every combination with the same random numbers.

    What the line has now is a point of a curve, whether it was asked for or not. A combination
    that makes no line is a point with the reason. Raises :class:`FieldError` where none does.
    """
    if not 1 <= len(spans) <= 2 or len({span.name for span in spans}) != len(spans):
        raise FieldError("one field or two different ones can be varied at a time")
    combinations = list(itertools.product(*(span.values for span in spans)))
    asked = len(combinations)
    if asked > _MOST_POINTS:
        raise FieldError(f"{asked} points are too many; {_MOST_POINTS} at most")
    present_values = tuple(present_value(scenario, span.name) for span in spans)
    now = present_values if len(spans) == 1 and None not in present_values else None
    if now is not None and now not in combinations:
        combinations = _among(combinations, now)
    variants, refused = {}, {}
    for values in combinations:
        try:
            line = scenario if values == now else with_values(scenario, spans, values)
            variants[str(values)] = line
        except ScenarioFaults as error:
            fault = error.faults[0]
            refused[values] = f"{fault.problem}; right would be: {fault.would_be_right}"
    if len(refused) == asked:
        raise FieldError(f"none of the values makes a line: {next(iter(refused.values()))}")
    rows = runner.outcomes({"": scenario} | variants, last=True)
    level = runner.settings.level
    best = max(variants, key=lambda name: sum(o.good_reams for o in rows[name]))
    points = tuple(
        Point(values, None, None, None, None, None, refused[values])
        if values in refused
        else _point(values, rows, best, level)
        for values in combinations
    )
    top = next(point for point in points if str(point.values) == best)
    present = between(rows[best], rows[""], reams, level)
    costs = {
        name: faster_but_less((line, rows[name]), (variants[best], rows[best]), level)
        for name, line in variants.items()
    }
    too_fast = [(point, cost) for point in points if (cost := costs.get(str(point.values)))]
    same = all(a.good_reams == b.good_reams for a, b in zip(rows[best], rows[""], strict=True))
    return Varied(
        spans=tuple(spans),
        points=points,
        best=top,
        alike=tuple(p for p in points if p.against_best is not None and not p.against_best.shown),
        present=None if same else present,
        present_values=present_values,
        runs=len(rows[""]),
        choice=choice_by_reams(scenario, runner, [rows[name] for name in variants]),
        too_fast=max(too_fast, key=lambda each: _behind(each[0]), default=None),
    )


def _among(combinations: Sequence[tuple[float, ...]], now: Any) -> list[tuple[float, ...]]:
    """With this one, in its place where they rise or fall."""
    for falling in (False, True):
        if list(combinations) == sorted(combinations, reverse=falling):
            return sorted([*combinations, now], reverse=falling)
    return [now, *combinations]


def _behind(point: Point) -> float:
    return point.against_best.interval.mean if point.against_best is not None else 0.0


def _point(
    values: tuple[float, ...], rows: dict[str, tuple[Outcome, ...]], best: str, level: float
) -> Point:
    mine = rows[str(values)]
    return Point(
        values,
        mean_of(mine, reams, level),
        mean_of(mine, lambda o: o.measures["oee"], level),
        mean_of(mine, lambda o: o.measures["avoidable_waste_fraction"], level),
        None if str(values) == best else between(rows[best], mine, reams, level),
        between(mine, rows[""], reams, level),
    )
