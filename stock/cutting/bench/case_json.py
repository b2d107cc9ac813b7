"""Cut cases and plans as JSON, for the benchmark: lengths in nanometres, money in cents.

It leaves out files and the command line (the `bench` command) and made-up cases
(bench_cases.py). Exception: BadJson (a case that cannot be read).
"""

from collections.abc import Mapping
from typing import Any

from stock.cutting.plans.plan import (
    BarCase,
    BarPlan,
    Case,
    Offer,
    OnHand,
    Plan,
    Rectangle,
    SheetCase,
    SheetPlan,
    Wanted,
)

Json = Mapping[str, Any]


class BadJson(ValueError):
    """A case that is not as the format says; `.key` is where."""

    def __init__(self, name: str, key: str, wanted: str) -> None:
        self.key = key
        super().__init__(f"Case {name}: {key!r} must be {wanted}.")


def case_from_json(data: Json, *, name: str = "case") -> Case:
    """A case of bars, or of a roll and sheets where it has a "roll" or "sheets".

    Args:
        data: an object of the benchmark's format; "kerf", "keep_from", "reference", "on_hand",
            "offers", "roll", "sheets", "count" and "turn" may be left out.
        name: used where the object has no "name".

    Returns:
        The case.

    Raises:
        BadJson: something else than an object, or a key that is missing or no whole number.

    Source:
        The benchmark's own format.
    """
    if not isinstance(data, Mapping):
        raise BadJson(name, "the case", "an object")
    name = str(data.get("name", name))
    if data.get("roll") is not None or "sheets" in data:
        return _sheet_case(data, name)
    return BarCase(
        name,
        _number(data, "kerf", name, 0),
        _number(data, "keep_from", name, 0),
        _number(data, "reference", name, 0),
        tuple(
            OnHand(_number(bar, "length", name), _number(bar, "count", name, 1))
            for bar in _items(data, "on_hand", name)
        ),
        tuple(
            Offer(_number(offer, "length", name), _number(offer, "price", name))
            for offer in _items(data, "offers", name)
        ),
        tuple(
            Wanted(_number(piece, "length", name), _number(piece, "count", name, 1))
            for piece in _items(data, "pieces", name)
        ),
    )


def _sheet_case(data: Json, name: str) -> SheetCase:
    pieces = tuple(
        Rectangle(
            _number(piece, "width", name),
            _number(piece, "length", name),
            _number(piece, "count", name, 1),
            bool(piece.get("turn", True)),
        )
        for piece in _items(data, "pieces", name)
    )
    sheets = tuple(
        (_number(sheet, "width", name), _number(sheet, "length", name))
        for _sheet in _items(data, "sheets", name)
        for sheet in [_sheet] * _number(_sheet, "count", name, 1)
    )
    roll = data.get("roll")
    if roll is None:
        return SheetCase(name, None, sheets, pieces)
    endless = sum(p.count * max(p.width_nm, p.length_nm) for p in pieces)
    width = _number(roll, "width", name)
    length = _number(roll, "length", name, endless)
    return SheetCase(name, (width, length), sheets, pieces)


def _items(data: Json, key: str, name: str) -> list[Json]:
    items = data.get(key) or []
    if not isinstance(items, list) or not all(isinstance(item, Mapping) for item in items):
        raise BadJson(name, key, "a list of objects")
    return items


def _number(data: Any, key: str, name: str, default: int | None = None) -> int:
    value = data.get(key, default) if isinstance(data, Mapping) else None
    if value is None and default is not None:
        value = default
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    if not isinstance(value, int) or isinstance(value, bool):
        raise BadJson(name, key, "a whole number")
    return value


def plan_to_json(plan: Plan) -> dict[str, Any]:
    """A plan as the benchmark writes it; "short" is there only where something is short.

    Args:
        plan: for bars or for sheets.

    Returns:
        Numbers, strings and lists only; lengths [nm], money [cents], seconds [s].

    Source:
        The benchmark's own format.
    """
    return _bars_to_json(plan) if isinstance(plan, BarPlan) else _sheets_to_json(plan)


def _bars_to_json(plan: BarPlan) -> dict[str, Any]:
    data: dict[str, Any] = {
        "name": plan.name,
        "proved": plan.proved,
        "spent": plan.spent_cents,
        "spent_at_least": plan.spent_at_least,
        "loss_at_least": plan.loss_at_least,
        "seconds": round(plan.seconds, 3),
        "bars": [
            {"from": bar.source, "length": bar.length_nm, "cuts": list(bar.cuts)}
            for bar in plan.bars
        ],
    }
    if plan.short:
        data["short"] = [{"length": p.length_nm, "count": p.count} for p in plan.short]
    return data


def _sheets_to_json(plan: SheetPlan) -> dict[str, Any]:
    data: dict[str, Any] = {
        "name": plan.name,
        "roll_length": plan.roll_length_nm,
        "at_least": plan.at_least_nm,
        "proved": plan.proved,
        "seconds": round(plan.seconds, 3),
        "placed": [
            {
                "from": "roll" if p.source == "roll" else f"sheet{p.sheet}",
                "x": p.x_nm,
                "y": p.y_nm,
                "width": p.width_nm,
                "length": p.length_nm,
                "piece": p.piece,
            }
            for p in plan.placed
        ],
    }
    if plan.short:
        data["short"] = [
            {"width": p.width_nm, "length": p.length_nm, "count": p.count} for p in plan.short
        ]
    return data
