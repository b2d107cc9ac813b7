"""Cases for the benchmark: a published one, and made-up ones that a seed makes again.

Made-up shops buy and cut in inches or millimetres; all figures are invented. It leaves out
solving and showing (the `bench` command).
"""

import random
from collections import Counter
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

MM = 1_000_000
INCH = 25_400_000
KEEP_FROM = 50 * MM
CLASS_SIZE = (10, 80)  # pieces

# Encyclopedia article "Cutting stock problem": widths and how many of each, rolls of 5600 mm.
PUBLISHED = {
    1380: 22,
    1520: 25,
    1560: 12,
    1710: 14,
    1820: 18,
    1880: 18,
    1930: 20,
    2000: 10,
    2050: 12,
    2100: 14,
    2140: 16,
    2150: 18,
    2200: 20,
}


def published_case() -> BarCase:
    """The published paper-machine instance: 73 rolls of 5600 mm at the least.

    Returns:
        A case without kerf, a roll costing one cent so that money counts rolls.

    Source:
        Encyclopedia article "Cutting stock problem", example with 13 widths.
    """
    return BarCase(
        "published-5600",
        0,
        5600 * MM,  # nothing that is left is worth keeping
        5600 * MM,
        (),
        (Offer(5600 * MM, 1),),
        tuple(Wanted(width * MM, n) for width, n in PUBLISHED.items()),
    )


def made_cases(count: int, *, seed: int, pieces: tuple[int, int] = CLASS_SIZE) -> list[BarCase]:
    """Made-up cases of the size that a class asks for.

    Args:
        count: how many cases, 0 or more.
        seed: the same seed makes the same cases.
        pieces: fewest and most pieces of a case.

    Returns:
        Cases with bars on hand and offers; about one in ten has nothing on offer.
    """
    return [_made(f"made-{seed}-{i}", random.Random(f"{seed}-{i}"), pieces) for i in range(count)]


def _made(name: str, rng: random.Random, pieces: tuple[int, int]) -> BarCase:
    if rng.random() < 0.5:
        step = INCH // rng.choice((4, 8, 16))
        full = [12 * INCH * feet for feet in (3, 4, 6, 10, 12, 20)]
        kerf = rng.choice((0, INCH // 32, INCH // 16, 1_000_000, 1_600_000, 2_500_000))
    else:
        step = MM * rng.choice((1, 1, 5, 10))
        full = [MM * length for length in (1000, 1500, 2000, 3000, 6000)]
        kerf = rng.choice((0, 1_000_000, 1_600_000, 2_000_000, 3_000_000))
    blanks = [_length(rng, 100 * MM, 300 * MM, step) for _ in range(rng.randint(1, 10))]
    wanted = Counter(rng.choice(blanks) for _ in range(rng.randint(*pieces)))
    sold = rng.sample(full, rng.randint(1, 3))
    rack = Counter(
        rng.choice(sold) if rng.random() < 0.3 else _length(rng, 60 * MM, 1500 * MM, step)
        for _ in range(rng.randint(0, 9))
    )
    offers = tuple(_offer(rng, length) for length in sold) if rng.random() < 0.9 else ()
    return BarCase(
        name,
        kerf,
        KEEP_FROM,
        max([*sold, *rack]),
        tuple(OnHand(length, n) for length, n in sorted(rack.items())),
        offers,
        tuple(Wanted(length, n) for length, n in sorted(wanted.items())),
    )


def _length(rng: random.Random, low: int, high: int, step: int) -> int:
    return round(rng.uniform(low, high) / step) * step


def _offer(rng: random.Random, length: int) -> Offer:
    """About 0.1 to 0.5 of a currency unit for each centimetre, some with a cutting charge."""
    cents_each_mm = rng.uniform(1.0, 5.0) * rng.uniform(0.8, 1.2)
    return Offer(length, round(length / MM * cents_each_mm) + rng.choice((0, 200)))


def bin_packing_cases(count: int, *, seed: int) -> list[BarCase]:
    """Random bin-packing cases in the manner of Falkenauer: uniform and triplets, in turn.

    Args:
        count: how many cases, 0 or more.
        seed: the same seed makes the same cases.

    Returns:
        Bins of one length at one cent each, so that money counts bins. Uniform cases have 120
        items of 20 to 100 in bins of 150; triplets 60 items, three of which fill a bin of 1000.

    Source:
        After Falkenauer (1996), A Hybrid Grouping Genetic Algorithm for Bin Packing; sizes
        from memory.
    """
    cases = []
    for i in range(count):
        rng = random.Random(f"bins-{seed}-{i}")
        if i % 2 == 0:
            items = Counter(rng.randint(20, 100) for _ in range(120))
            cases.append(_bins(f"uniform-{seed}-{i}", 150, items))
        else:
            cases.append(_bins(f"triplets-{seed}-{i}", 1000, _triplets(rng, 20)))
    return cases


def _triplets(rng: random.Random, bins: int) -> Counter[int]:
    items: Counter[int] = Counter()
    for _ in range(bins):
        first = rng.randint(380, 490)
        second = rng.randint(250, (1000 - first) // 2)
        items.update((first, second, 1000 - first - second))
    return items


def _bins(name: str, size: int, items: Counter[int]) -> BarCase:
    wanted = tuple(Wanted(n * MM, count) for n, count in sorted(items.items()))
    return BarCase(name, 0, size * MM, size * MM, (), (Offer(size * MM, 1),), wanted)


def dissected_cases(count: int, *, seed: int, pieces: int = 12) -> list[SheetCase]:
    """Strips of a roll cut into rectangles without waste, so that the least length is known.

    Args:
        count: how many cases, 0 or more.
        seed: the same seed makes the same cases.
        pieces: rectangles in each case, at least 1.

    Returns:
        Cases whose best layout takes exactly the strip; its length is in the name [mm].
    """
    return [
        _dissected(random.Random(f"cut-{seed}-{i}"), f"{seed}-{i}", pieces) for i in range(count)
    ]


def _dissected(rng: random.Random, name: str, pieces: int) -> SheetCase:
    width, length = rng.randint(150, 300), rng.randint(300, 900)
    parts = [(width, length)]
    while len(parts) < pieces:
        parts.sort(key=lambda part: part[0] * part[1])
        w, h = parts.pop()
        if w >= h:
            at = rng.randint(max(1, w // 4), max(1, w - w // 4))
            parts += [(at, h), (w - at, h)]
        else:
            at = rng.randint(max(1, h // 4), max(1, h - h // 4))
            parts += [(w, at), (w, h - at)]
    rectangles = tuple(Rectangle(w * MM, h * MM, 1) for w, h in parts)
    return SheetCase(f"dissected-{name}-{length}mm", (width * MM, 10 * length * MM), (), rectangles)


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


def plan_to_json(plan: Plan) -> dict[str, object]:
    """A plan as the benchmark writes it; "short" is there only where something is short.

    Args:
        plan: for bars or for sheets.

    Returns:
        Numbers, strings and lists only; lengths [nm], money [cents], seconds [s].
    """
    return _bars_to_json(plan) if isinstance(plan, BarPlan) else _sheets_to_json(plan)


def _bars_to_json(plan: BarPlan) -> dict[str, object]:
    data: dict[str, object] = {
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


def _sheets_to_json(plan: SheetPlan) -> dict[str, object]:
    data: dict[str, object] = {
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
