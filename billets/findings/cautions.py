"""The cautions that a sheet prints, by what is in the stack.

Limits for the air are those of the United States, each with its source. They are for
orientation: every sheet ends with who decides. It leaves out what is wrong with the stack.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from billets.findings.joins import ZINC_BOILS_C
from billets.layup import words as saying
from billets.layup.case import Case
from billets.layup.design import Design
from stock.alloys.book import Figure

DEFERENCE = (
    "These notes replace no training. Follow the maker's instructions, your local rules and a "
    "licensed professional; where they are stricter, they hold."
)

COPPER_PEL_MG_M3 = Figure(0.1, "OSHA permissible limit, copper fume, 29 CFR 1910.1000", "read")
COPPER_TLV_MG_M3 = Figure(0.2, "ACGIH threshold limit, copper fume", "read")
ZINC_PEL_MG_M3 = Figure(5.0, "OSHA permissible limit, zinc oxide fume, 29 CFR 1910.1000", "read")
NICKEL_PEL_MG_M3 = Figure(
    1.0, "OSHA permissible limit, nickel, as quoted by NiPERA (nipera.org)", "read"
)
CHROMIUM_PEL_MG_M3 = Figure(
    0.005, "permissible limit, chromium (VI), WAC 296-62-08007, the same as OSHA's", "read"
)
SILVER_PEL_MG_M3 = Figure(0.01, "OSHA permissible limit, silver", "memory")
CO_PEL_PPM = Figure(50.0, "OSHA permissible limit, carbon monoxide", "read")
CO_REL_PPM = Figure(35.0, "NIOSH recommended limit, carbon monoxide", "read")
CO_CEILING_PPM = Figure(200.0, "NIOSH ceiling, carbon monoxide", "read")
SHADE_UNDER_60_A = Figure(7.0, "29 CFR 1910.133, gas-metal-arc welding under 60 A", "read")
SHADE_FROM_60_A = Figure(10.0, "29 CFR 1910.133, gas-metal-arc welding from 60 A", "read")
NOISE_PEL_DBA = Figure(90.0, "OSHA permissible limit, 8 h", "read")
NOISE_REL_DBA = Figure(85.0, "NIOSH recommended limit, 8 h", "read")
FIRE_CLEAR_FT = Figure(35.0, "29 CFR 1910.252, combustibles kept away", "read")
FIRE_WATCH_MIN = Figure(30.0, "29 CFR 1910.252, fire watch after hot work", "read")


@dataclass(frozen=True)
class Caution:
    """One caution: a stable code, the words in each system, and the figures it rests on."""

    code: str
    inch: str
    metric: str
    figures: tuple[Figure, ...] = ()

    def sentence(self, system: str) -> str:
        """The caution in the reader's system."""
        return self.inch if system == "inch" else self.metric


def cautions(case: Case) -> tuple[Caution, ...]:
    """What a sheet for this layup has to warn of.

    Args:
        case: the layup; layers with an unknown alloy are passed over.

    Returns:
        Fume of the metals that are in it first, then what every forging day needs. The last
        one, code "deference", says who decides.

    Source:
        Beside each figure; common practice for the rest.
    """
    hazards = {hazard for alloy in case.layers.values() for hazard in alloy.hazards}
    metal = (
        _caution(code, write, figures) for code, write, figures in _metal(case.design, hazards)
    )
    always = (_caution(code, write, figures) for code, (write, figures) in _ALWAYS.items())
    return (*metal, *always)


Write = Callable[[str], str]


def _caution(code: str, write: Write, figures: tuple[Figure, ...]) -> Caution:
    return Caution(code, write("inch"), write("metric"), figures)


def _metal(design: Design, hazards: set[str]) -> Iterator[tuple[str, Write, tuple[Figure, ...]]]:
    if "zinc-fume" in hazards:
        yield "zinc-fume", lambda system: _zinc(design, system), (ZINC_PEL_MG_M3, ZINC_BOILS_C)
    for code, (words, figures) in _METALS.items():
        if code in hazards:
            yield code, _same(words), figures


def _same(words: str) -> Write:
    return lambda _system: words


def _zinc(design: Design, system: str) -> str:
    control = " ".join(design.zinc_control.split())
    written = f" Recorded control: {control}" if control else ""
    return (
        "This stack holds zinc. Zinc fume makes people ill within hours; it boils out at "
        f"{saying.degrees(ZINC_BOILS_C.value, system)} and fumes below that. Limit in the air: "
        f"{ZINC_PEL_MG_M3.value:g} mg/m³ (OSHA, zinc oxide fume).{written}"
    )


def _clear_of_fire(system: str) -> str:
    clear = "35 ft" if system == "inch" else "11 m"
    return (
        f"Hot work: everything that burns {clear} away or covered, an extinguisher at hand, and "
        f"a fire watch for at least {FIRE_WATCH_MIN.value:g} minutes after the last heat "
        "(29 CFR 1910.252)."
    )


_METALS: Mapping[str, tuple[str, tuple[Figure, ...]]] = {
    "copper-fume": (
        "Copper: overheated copper fumes. Work under an exhaust or out of doors, upwind. Limit "
        f"in the air: {COPPER_PEL_MG_M3.value:g} mg/m³ (OSHA, fume; ACGIH "
        f"{COPPER_TLV_MG_M3.value:g}). Molten copper squirts from an open seam: stand aside of "
        "the edges.",
        (COPPER_PEL_MG_M3, COPPER_TLV_MG_M3),
    ),
    "nickel": (
        "Nickel: fume and grinding dust harm the lungs and many skins react to it. Exhaust, "
        f"respirator, gloves. Limit in the air: {NICKEL_PEL_MG_M3.value:g} mg/m³ (OSHA).",
        (NICKEL_PEL_MG_M3,),
    ),
    "chromium": (
        "Stainless: welding and burning it makes chromium (VI), which causes cancer. Exhaust "
        f"and respirator when welding and grinding. Limit in the air: "
        f"{CHROMIUM_PEL_MG_M3.value:g} mg/m³ (OSHA).",
        (CHROMIUM_PEL_MG_M3,),
    ),
    "silver": (
        "Silver: keep fume and dust out of the air you breathe. Limit in the air: "
        f"{SILVER_PEL_MG_M3.value:g} mg/m³ (OSHA, from memory: confirm it).",
        (SILVER_PEL_MG_M3,),
    ),
}

_ALWAYS: Mapping[str, tuple[Write, tuple[Figure, ...]]] = {
    "galvanised": (
        _same(
            "Never heat galvanised or plated steel, and no brass that this sheet does not name: "
            "look at clamps, handles and scrap too."
        ),
        (),
    ),
    "carbon-monoxide": (
        _same(
            "A gas forge makes carbon monoxide, which nobody smells. Doors open, alarm on. "
            f"Limits: {CO_PEL_PPM.value:g} ppm over 8 h (OSHA), {CO_REL_PPM.value:g} ppm and "
            f"never above {CO_CEILING_PPM.value:g} ppm (NIOSH)."
        ),
        (CO_PEL_PPM, CO_REL_PPM, CO_CEILING_PPM),
    ),
    "arc": (
        _same(
            f"Arc welding: filter shade {SHADE_UNDER_60_A.value:g} or darker under 60 A, "
            f"{SHADE_FROM_60_A.value:g} or darker from 60 A (29 CFR 1910.133). Skin covered, "
            "others behind a screen."
        ),
        (SHADE_UNDER_60_A, SHADE_FROM_60_A),
    ),
    "noise": (
        _same(
            "Ears and eyes covered, always. Noise limits over 8 h: "
            f"{NOISE_PEL_DBA.value:g} dBA (OSHA), {NOISE_REL_DBA.value:g} dBA (NIOSH)."
        ),
        (NOISE_PEL_DBA, NOISE_REL_DBA),
    ),
    "fire": (_clear_of_fire, (FIRE_CLEAR_FT, FIRE_WATCH_MIN)),
    "quench-oil": (
        _same(
            "Quench oil can flare: the lid within reach, the whole blade under at once. Never "
            "put water on an oil fire."
        ),
        (),
    ),
    "deference": (_same(DEFERENCE), ()),
}
