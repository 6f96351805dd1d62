"""What fields and tables of a scenario are called in the window."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from functools import cache
from typing import Any

import linesim

STOP_LOG = "Stop log"
"""The page of what the command ``fit-stops`` does."""


def field_label(field: str, data: Mapping[str, Any]) -> str:
    """A dotted name as people say it.

    >>> field_label("stop[0].people", {"stop": [{"cause": "static"}]})
    'static: people needed'
    >>> field_label("bridge.length_m", {})
    'bridge: usable length'
    >>> doubted = {"bridge": {"doubt": [{"of": "length_m", "between": [14, 12]}]}}
    >>> field_label("bridge.doubt[0].between", doubted)
    'bridge: usable length, known between'
    """
    field, of_doubt = linesim.scenario.doubt_at(data, field)
    try:
        path = linesim.scenario.split_name(field)
    except KeyError:
        # A fault may stand at a name that no field could have.
        return field
    words = linesim.scenario.path_label(path, data) or field
    return f"{words}, {of_doubt.label}" if of_doubt is not None else words


def with_titles(words: str) -> str:
    """Words with parts, fields and studies as the window calls them, for their names in files.

    >>> with_titles("as in [product] and the [[stop]] tables; [nobody] knows")
    'as in “Product” and the “Stop causes” tables; [nobody] knows'
    >>> with_titles("contribution_per_ream in [money] says it")
    '“contribution of a ream” in “Money” says it'
    >>> with_titles("plan-orders follows them; --plan-orders, re-plan-orders")
    '“When orders are done” follows them; --plan-orders, re-plan-orders'
    >>> with_titles("linesim fit-stops lists them; linesim what-holds weighs them")
    '“Stop log” lists them; “What holds the line” weighs them'
    """
    groups = {group.name: group for group in linesim.scenario.field_groups()}

    def title(found: re.Match[str]) -> str:
        field, table = found.groups()
        group = groups.get(table)
        if group is None:
            return found[0]
        said = f"“{linesim.report.capital(group.title)}”"
        if not field:
            return said
        label = next((each.label for each in group.fields if each.name == field), "")
        return f"{f'“{label}”' if label else field} in {said}"

    words = re.sub(r"(?:(\w+) in )?\[{1,2}(\w+)\]{1,2}", title, words)
    titles = {name: study.title for name, study in linesim.questions.STUDIES.items()}
    for name, said in (titles | {"fit-stops": STOP_LOG}).items():
        # Names of one word are words of every sentence.
        if "-" in name:
            words = re.sub(rf"(?:linesim )?(?<![\w-]){name}(?![\w-])", f"“{said}”", words)
    return words


def help_words(words: str) -> str:
    """The help of a field or table for who fills in the form: no names of the file in it.

    >>> help_words("reams that fit; or give length_m; in_proportion: slower, as in [product]")
    'reams that fit; or give “usable length”; in proportion: slower, as in “Product”'
    """

    def label(found: re.Match[str]) -> str:
        labels = _labels_by_name().get(found[0], set())
        # Choices, stations, and names that mean another field in each table.
        return f"“{next(iter(labels))}”" if len(labels) == 1 else found[0].replace("_", " ")

    return re.sub(r"\b[a-z]+(?:_[a-z0-9]+)+\b", label, with_titles(words))


@cache
def _labels_by_name() -> dict[str, set[str]]:
    found = defaultdict(set)
    for group in linesim.scenario.field_groups():
        for field in group.fields:
            found[field.name].add(field.label)
    return dict(found)
