"""A layup in a shop: what follows from it is worked out once, and nobody changes it."""

from collections import Counter
from collections.abc import Callable
from dataclasses import FrozenInstanceError, fields
from functools import cached_property
from typing import Any

import pytest

from billets.findings.findings import findings
from billets.layup import case as case_module
from billets.layup.case import Case
from billets.panel.panel import panel_of
from shop.sheets.student import student_sheet
from shop.sheets.subject import Subject
from stock.house import House
from tests.billets.stacks import MM, cased, five, lay, nine

SUMS = (
    "known_layers",
    "cleaned_layers_nm",
    "drawn_layers_nm",
    "process",
    "window",
    "meltings",
    "core_places",
    "core_index",
)


def counting(name: str, calls: Counter[str]) -> Callable[..., Any]:
    """A sum of the case's that notes how often the case asks for it."""
    sum_ = getattr(case_module, name)

    def counted(*given: Any, **named: Any) -> Any:
        calls[name] += 1
        return sum_(*given, **named)

    return counted


def test_findings_panel_and_sheet_of_one_case_work_out_each_value_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    calls: Counter[str] = Counter()
    for name in SUMS:
        monkeypatch.setattr(case_module, name, counting(name, calls))
    case = cased(nine())

    findings(case)
    panel_of(case)
    student_sheet(Subject(case=case, mark="K27", who="Ines Cabrel", layup_name="Nine layers"))

    assert calls == dict.fromkeys(SUMS, 1)


def test_nothing_is_worked_out_before_it_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    calls: Counter[str] = Counter()
    for name in SUMS:
        monkeypatch.setattr(case_module, name, counting(name, calls))

    case = cased(five())
    assert calls == {}

    assert case.height_nm == 13 * MM
    assert calls == {"cleaned_layers_nm": 1}


@pytest.mark.parametrize("name", [one.name for one in fields(Case)])
def test_what_was_given_cannot_be_changed(name: str) -> None:
    case = cased(five())

    with pytest.raises(FrozenInstanceError):
        setattr(case, name, None)


@pytest.mark.parametrize(
    "name", [name for name, one in vars(Case).items() if isinstance(one, cached_property)]
)
def test_what_was_worked_out_cannot_be_changed(name: str) -> None:
    case = cased(five())
    before = getattr(case, name)

    with pytest.raises(FrozenInstanceError):
        setattr(case, name, None)

    assert getattr(case, name) is before


def test_the_limits_are_those_that_the_shop_has_set() -> None:
    case = cased(five(), House(ceiling_margin_c=100, hot_spot_c=30))

    assert (case.rules.margin_c, case.rules.hot_spot_c) == (100.0, 30.0)
    assert case.window.ceiling_c == 935.0  # C11000 from 1065 °C


def test_a_layup_without_layers_is_a_case_too() -> None:
    case = cased(lay())

    assert (case.height_nm, case.drawn_nm, case.core, case.core_alloy) == (0, (), None, None)
    assert not case.has_one_core
