"""What a class's cut plan is made of, as plain data: needs, free pieces, planned pieces.

Pure. Written to JSON between computing and confirming; it leaves out how a plan is found
(`shop.planning.laying_out`) and how it becomes set-asides (`shop.planning.writing`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from stock.cutting.plans.plan import Left
from stock.materials import matching
from stock.quantities.named_values import Json


@dataclass(frozen=True)
class Need:
    """One blank to be cut: which seat, which layer, what size."""

    seat_id: int
    position: int  # layer, 0 at the bottom
    alloy: str
    role: str
    thickness_nm: int
    width_nm: int
    length_nm: int
    material_id: int | None = None  # this and nothing else

    @property
    def key(self) -> str:
        """What the plan calls it."""
        return f"{self.seat_id}/{self.position}"


@dataclass(frozen=True)
class FreePiece:
    """One piece on the rack and the metal of it that may be planned."""

    piece_id: int
    mark: str
    material_id: int
    form: str  # "flat" | "roll" | "sheet"
    alloy: str
    thickness_nm: int
    width_nm: int  # across: the bar's or roll's width, the sheet's own
    length_nm: int  # free
    keep_from_nm: int
    grain_matters: bool = False
    place: str = ""
    is_shared: bool = False  # a bar that carries cuts of another plan as well


@dataclass(frozen=True)
class PlannedCut:
    """One blank on one piece; `x_nm`, `y_nm` are from the cut end and the left edge."""

    need: str
    width_nm: int
    length_nm: int
    amount: int  # bars: with kerf [nm]; sheets and strips: area [nm²]
    x_nm: int = 0
    y_nm: int = 0


@dataclass(frozen=True)
class PlannedRest:
    """What is left of a strip, a sheet or a bar's short end."""

    width_nm: int
    length_nm: int
    amount: int
    is_kept: bool
    x_nm: int = 0
    y_nm: int = 0


@dataclass(frozen=True)
class Shear:
    """One straight cut of the shears right through one part of a sheet.

    "across" runs over the whole width of the part at `at_nm` along it; "along" over its whole
    length at `at_nm` across it. `leaves` names each side: "piece", "left", "part" or "roll".
    """

    direction: str
    at_nm: int
    x_nm: int  # the part that is cut, and its corner
    y_nm: int
    width_nm: int
    length_nm: int
    leaves: tuple[str, str]


@dataclass(frozen=True)
class PlannedPiece:
    """One piece and what the plan does with it."""

    piece_id: int
    mark: str
    form: str
    place: str
    before_nm: int  # free length before
    width_nm: int
    strip_nm: int  # length taken off a roll, else 0
    cuts: tuple[PlannedCut, ...]
    rests: tuple[PlannedRest, ...] = ()
    left_nm: int = 0  # free on the same piece afterwards
    shears: tuple[Shear, ...] = ()  # in an order that can be followed


@dataclass(frozen=True)
class Shortage:
    """Blanks of one kind that no metal is left for."""

    alloy: str
    thickness_nm: int
    width_nm: int
    length_nm: int
    count: int
    missing_nm: int  # of bar, with kerfs; of roll at its width where a roll is short
    needs: tuple[str, ...]
    largest_free_nm: int = 0  # longest free piece of that section
    roll_width_nm: int = 0


@dataclass(frozen=True)
class Part:
    """One solved case: all like blanks over all pieces that can give them."""

    alloy: str
    thickness_nm: int
    width_nm: int
    form: str  # "bar" | "sheet"
    kerf_nm: int
    proved: bool
    claim: str
    gap: float
    seconds: float
    pieces: tuple[PlannedPiece, ...]


@dataclass(frozen=True)
class CutPlan:
    """The whole plan of a class."""

    parts: tuple[Part, ...] = ()
    short: tuple[Shortage, ...] = ()
    seats: tuple[int, ...] = ()  # planned for
    left_out: tuple[int, ...] = ()  # for want of metal, when the smith chose that
    fits: tuple[int, ...] = field(default=())  # seats that could be planned, when short

    @property
    def is_whole(self) -> bool:
        """Whether every blank that was asked for is in it."""
        return not self.short

    @property
    def is_proved(self) -> bool:
        """Whether each part is proved best."""
        return all(part.proved for part in self.parts)

    def to_json(self) -> Json:
        """Plain data for the database."""
        return asdict(self)

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> CutPlan:
        """A plan from what `to_json` wrote."""
        return cls(
            parts=tuple(_part(one) for one in data.get("parts", ())),
            short=tuple(
                Shortage(**{**one, "needs": tuple(one["needs"])}) for one in data.get("short", ())
            ),
            seats=tuple(data.get("seats", ())),
            left_out=tuple(data.get("left_out", ())),
            fits=tuple(data.get("fits", ())),
        )


def _part(data: Mapping[str, Any]) -> Part:
    return Part(**{**data, "pieces": tuple(_piece(one) for one in data["pieces"])})


def _piece(data: Mapping[str, Any]) -> PlannedPiece:
    return PlannedPiece(
        **{
            **data,
            "cuts": tuple(PlannedCut(**one) for one in data["cuts"]),
            "rests": tuple(PlannedRest(**one) for one in data["rests"]),
            "shears": tuple(
                Shear(**{**one, "leaves": tuple(one["leaves"])}) for one in data["shears"]
            ),
        }
    )


def is_worth_keeping(left: Left, *, keep_from_nm: int) -> bool:
    """Whether an offcut of sheet goes back to the rack.

    Args:
        left: the offcut.
        keep_from_nm: the material's keep length [nm].

    Returns:
        True when its long side reaches the keep length and its short side a quarter of it.

    Source:
        Common practice.
    """
    return matching.is_worth_keeping(
        left.width_nm, length_nm=left.length_nm, keep_from_nm=keep_from_nm
    )


@dataclass(frozen=True)
class Source:
    """Where a blank comes from, and its size."""

    mark: str
    width_nm: int
    length_nm: int


@dataclass(frozen=True)
class Moved:
    """A blank that comes from another piece, or at another size, than before."""

    name: str
    before: Source
    after: Source

    @property
    def is_resized(self) -> bool:
        """Whether its size changed."""
        return _size(self.before) != _size(self.after)

    @property
    def is_elsewhere(self) -> bool:
        """Whether its piece changed."""
        return self.before.mark != self.after.mark


@dataclass(frozen=True)
class Changes:
    """How a plan differs from the one that stands."""

    same: int
    moved: tuple[Moved, ...]
    added: tuple[tuple[str, Source], ...]
    dropped: tuple[tuple[str, Source], ...]

    @property
    def is_nothing(self) -> bool:
        """Whether both plans cut the same blanks from the same pieces."""
        return not (self.moved or self.added or self.dropped)


def plan_changes(standing: Mapping[str, Source], planned: Mapping[str, Source]) -> Changes:
    """What the new plan moves, adds and drops, in the order of the names.

    Args:
        standing: blanks set aside and not cut, by name.
        planned: blanks of the new plan, by the same names.

    Returns:
        The difference; how many stay as they are is counted only.
    """
    both = sorted(standing.keys() & planned.keys())
    moved = tuple(
        Moved(name, standing[name], planned[name])
        for name in both
        if standing[name].mark != planned[name].mark
        or _size(standing[name]) != _size(planned[name])
    )
    return Changes(
        same=len(both) - len(moved),
        moved=moved,
        added=tuple((name, planned[name]) for name in sorted(planned.keys() - standing.keys())),
        dropped=tuple((name, standing[name]) for name in sorted(standing.keys() - planned.keys())),
    )


def _size(source: Source) -> tuple[int, int]:
    """Both sizes, the smaller first."""
    low, high = sorted((source.width_nm, source.length_nm))
    return low, high
