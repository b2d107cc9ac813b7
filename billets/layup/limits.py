"""The limits that a layup is judged by, taken from what the shop has set.

It leaves out the judging itself: that is `billets.findings.findings`.
"""

from dataclasses import dataclass

from stock.alloys.book import Figure
from stock.house import House

NARROW_WINDOW_C = Figure(100.0, "a narrower window is hard to keep by eye", "practice")
LEAST_ALLOWANCE_C = Figure(40.0, "margin and hot spot together, at least", "practice")
PRACTICE_LIMIT_C = Figure(
    (1800 - 32) / 1.8, "copper-bonded stacks stay under it: a red heat", "practice", "1800 °F"
)


@dataclass(frozen=True)
class Rules:
    """Limits with their unit in the name; the defaults are those of `stock.house.House`."""

    margin_c: float = 65.0
    hot_spot_c: float = 20.0
    min_core_stack_nm: int = 3_175_000
    min_core_finished_nm: int = 1_587_500
    line_min_nm: int = 100_000
    line_max_nm: int = 500_000
    symmetry_percent: float = 10.0
    drift_allowance_nm: int = 200_000
    edge_thickness_nm: int = 250_000
    narrow_window_c: float = NARROW_WINDOW_C.value
    least_allowance_c: float = LEAST_ALLOWANCE_C.value

    @property
    def allowance_c(self) -> float:
        """Margin and hot spot together: what the ceiling lies under the solidus [°C]."""
        return self.margin_c + self.hot_spot_c

    @property
    def core_floor_nm(self) -> int:
        """Thinnest finished core that holds the edge wherever it drifts [nm]."""
        return self.edge_thickness_nm + 2 * self.drift_allowance_nm


def rules_of(house: House) -> Rules:
    """The limits that this shop has set.

    Args:
        house: the shop's standing choices.

    Returns:
        Limits for `findings` and `window`.
    """
    return Rules(
        margin_c=float(house.ceiling_margin_c),
        hot_spot_c=float(house.hot_spot_c),
        min_core_stack_nm=house.min_core_stack_nm,
        min_core_finished_nm=house.min_core_finished_nm,
        line_min_nm=house.line_min_nm,
        line_max_nm=house.line_max_nm,
        symmetry_percent=float(house.symmetry_percent),
        drift_allowance_nm=house.drift_allowance_nm,
        edge_thickness_nm=house.edge_thickness_nm,
    )
