"""What the shop has set, as plain values that every floor may read.

The shop floor fills a `House` for each request; lower floors only read it and never import
the shop. It leaves out anything that belongs to one class, one billet or one piece.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class House:
    """The shop's standing choices and limits, one value each with its unit in the name."""

    name: str = "The shop"
    system: str = "inch"  # "inch" | "metric": what is shown first and what a bare number means
    currency: str = "USD"  # ISO 4217
    locale: str = "en_US"  # for Babel
    paper: str = "Letter"  # "Letter" | "A4"
    zone: str = ""  # IANA name of the shop's time zone; empty: the machine's
    person: str = ""
    is_owner: bool = False
    sees_money: bool = False

    ceiling_margin_c: int = 65  # below the lowest solidus; common practice
    hot_spot_c: int = 20  # the forge's unevenness, taken off as well
    min_core_stack_nm: int = 3_175_000  # 1/8 in in the stack; common practice
    min_core_finished_nm: int = 1_587_500  # 1/16 in finished; common practice
    line_min_nm: int = 100_000
    line_max_nm: int = 500_000
    symmetry_percent: int = 10
    drift_allowance_nm: int = 200_000  # core off centre, either way
    edge_thickness_nm: int = 250_000  # edge before sharpening

    keep_from_nm: int = 50_800_000  # shorter offcuts are scrap
    bead_leg_nm: int = 4_000_000  # leg of the seam bead
    deposition_percent: int = 95
    wire_alloy: str = "er70s-6"

    press_n: int = 0  # largest force [N]; 0 means hand hammer
    die_width_nm: int = 50_800_000  # flat dies, along the billet
    bite_nm: int = 12_700_000  # contact of round-nosed drawing dies; common practice
    valley_nm: int = 0  # depth the drawing dies leave
    reduction_percent: int = 15  # largest reduction of thickness in one heat
    bonding_heats: int = 2
    crop_percent: int = 4  # ends cropped and seam ground off, of the volume
    scale_per_heat_nm: int = 25_000  # lost from each face in each heat
    emissivity_percent: int = 75

    @property
    def unit(self) -> str:
        """Unit that a bare number takes: "in" or "mm"."""
        return "in" if self.system == "inch" else "mm"

    @property
    def temperature_unit(self) -> str:
        """Unit that a bare temperature takes: "F" or "C"."""
        return "F" if self.system == "inch" else "C"
