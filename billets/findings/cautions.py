"""The cautions that a sheet prints, by what is in the stack.

Limits for the air are those of the United States, each with its source. They are for
orientation: every sheet ends with who decides. It leaves out what is wrong with the stack.
"""

from collections.abc import Callable, Mapping
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
# The least filter shade of each process; the processes differ, and a shop may have several.
TUNGSTEN_SHADE = Figure(8.0, "29 CFR 1910.133, gas tungsten arc welding under 150 A", "read")
TUNGSTEN_SHADE_FROM_150_A = Figure(
    10.0, "29 CFR 1910.133, gas tungsten arc welding, 150 to 500 A", "read"
)
METAL_SHADE = Figure(7.0, "29 CFR 1910.133, gas metal arc welding under 60 A", "read")
METAL_SHADE_FROM_60_A = Figure(
    10.0, "29 CFR 1910.133, gas metal arc and flux cored arc welding, 60 to 500 A", "read"
)
STICK_SHADE = Figure(7.0, "29 CFR 1910.133, shielded metal arc welding under 60 A", "read")
STICK_SHADE_FROM_60_A = Figure(
    8.0, "29 CFR 1910.133, shielded metal arc welding, 60 to 160 A", "read"
)
STICK_SHADE_FROM_160_A = Figure(
    10.0, "29 CFR 1910.133, shielded metal arc welding, 160 to 250 A", "read"
)
STICK_SHADE_FROM_250_A = Figure(
    11.0, "29 CFR 1910.133, shielded metal arc welding, 250 to 550 A", "read"
)
NOISE_PEL_DBA = Figure(90.0, "OSHA permissible limit, 8 h", "read")
NOISE_REL_DBA = Figure(85.0, "NIOSH recommended limit, 8 h", "read")
FIRE_CLEAR_FT = Figure(35.0, "29 CFR 1910.252, combustibles kept away", "read")
FIRE_WATCH_MIN = Figure(30.0, "29 CFR 1910.252, fire watch after hot work", "read")
FIRE_WATCH_NEWER_MIN = Figure(60.0, "newer fire codes, fire watch after hot work", "memory")


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
        The gravest first: what kills or blinds at once, then what burns, then what harms slowly.
        The last one, code "deference", says who decides.

    Source:
        Beside each figure; common practice for the rest.
    """
    hazards = {hazard for alloy in case.layers.values() for hazard in alloy.hazards}
    design = case.design
    written: dict[str, tuple[Write, tuple[Figure, ...]]] = {**_ALWAYS}
    written |= {code: one for code, one in _METALS.items() if code in hazards}
    if "zinc-fume" in hazards:
        written["zinc-fume"] = (
            lambda system: _zinc(design, system),
            (ZINC_PEL_MG_M3, ZINC_BOILS_C),
        )
    if seam := _seam(design, hazards):
        written["seam"] = (_same(seam), ())
    return tuple(_caution(code, *written[code]) for code in GRAVEST_FIRST if code in written)


Write = Callable[[str], str]

GRAVEST_FIRST = (
    "carbon-monoxide",
    "cleaners",
    "zinc-fume",
    "seam",
    "galvanised",
    "quench-oil",
    "arc",
    "fire",
    "chromium",
    "copper-fume",
    "nickel",
    "silver",
    "noise",
    "deference",
)


def _caution(code: str, write: Write, figures: tuple[Figure, ...]) -> Caution:
    return Caution(code, write("inch"), write("metric"), figures)


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


def _seam(design: Design, hazards: set[str]) -> str:
    """What can come out of a seam: molten copper, and steam where the stack is shut."""
    squirts = "Molten copper squirts from an open seam." if "copper-fume" in hazards else ""
    bursts = (
        "A stack that is wet inside can burst: it must be dry before it is shut."
        if design.seam_closed
        else ""
    )
    clear = "Stand clear of the edges." if squirts or bursts else ""
    return " ".join(words for words in (squirts, bursts, clear) if words)


def _clear_of_fire(system: str) -> str:
    clear = "35 ft" if system == "inch" else "11 m"
    return (
        f"Hot work: everything that burns {clear} away or covered, an extinguisher at hand, a "
        f"fire watch for at least {FIRE_WATCH_MIN.value:g} minutes after the last heat (29 CFR "
        f"1910.252), at least {FIRE_WATCH_NEWER_MIN.value:g} where the code in force asks it "
        "(newer fire codes, from memory)."
    )


_METALS: Mapping[str, tuple[Write, tuple[Figure, ...]]] = {
    "copper-fume": (
        _same(
            "Overheated copper fumes: work under an exhaust or out of doors, upwind. Limit in "
            f"the air: {COPPER_PEL_MG_M3.value:g} mg/m³ (OSHA, fume; ACGIH "
            f"{COPPER_TLV_MG_M3.value:g})."
        ),
        (COPPER_PEL_MG_M3, COPPER_TLV_MG_M3),
    ),
    "nickel": (
        _same(
            "Nickel: fume and grinding dust harm the lungs and many skins react to it. Exhaust, "
            f"respirator, gloves. Limit in the air: {NICKEL_PEL_MG_M3.value:g} mg/m³ (OSHA)."
        ),
        (NICKEL_PEL_MG_M3,),
    ),
    "chromium": (
        _same(
            "Stainless: welding and burning it makes chromium (VI), which causes cancer. Exhaust "
            "and respirator when welding and grinding. Limit in the air: "
            f"{CHROMIUM_PEL_MG_M3.value:g} mg/m³ (OSHA)."
        ),
        (CHROMIUM_PEL_MG_M3,),
    ),
    "silver": (
        _same(
            "Silver: keep fume and dust out of the air you breathe. Limit in the air: "
            f"{SILVER_PEL_MG_M3.value:g} mg/m³ (OSHA, from memory: confirm it)."
        ),
        (SILVER_PEL_MG_M3,),
    ),
}

_ALWAYS: Mapping[str, tuple[Write, tuple[Figure, ...]]] = {
    "carbon-monoxide": (
        _same(
            "A gas forge makes carbon monoxide: no smell, and it kills. Doors open, "
            f"alarm on. Limits: {CO_PEL_PPM.value:g} ppm over 8 h (OSHA), {CO_REL_PPM.value:g} "
            f"ppm and never above {CO_CEILING_PPM.value:g} ppm (NIOSH)."
        ),
        (CO_PEL_PPM, CO_REL_PPM, CO_CEILING_PPM),
    ),
    "cleaners": (
        _same(
            "Never a chlorinated cleaner: an arc or a fire turns its vapour into phosgene, which "
            "kills. Alcohol burns: let it dry, bottle and rags put away, before any arc or fire."
        ),
        (),
    ),
    "galvanised": (
        _same(
            "Never heat galvanised or plated steel, nor brass that this sheet does not name: "
            "look at clamps, handles and scrap too."
        ),
        (),
    ),
    "quench-oil": (
        _same(
            "Quench oil can flare: the lid within reach, the whole blade under at once. Never "
            "put water on an oil fire."
        ),
        (),
    ),
    "arc": (
        _same(
            "Filter shade at least (29 CFR 1910.133): gas tungsten arc "
            f"{TUNGSTEN_SHADE.value:g}, from 150 A {TUNGSTEN_SHADE_FROM_150_A.value:g}; gas "
            f"metal arc {METAL_SHADE.value:g}, from 60 A {METAL_SHADE_FROM_60_A.value:g}; stick "
            f"{STICK_SHADE.value:g}, from 60 A {STICK_SHADE_FROM_60_A.value:g}, from 160 A "
            f"{STICK_SHADE_FROM_160_A.value:g}, from 250 A {STICK_SHADE_FROM_250_A.value:g}. Skin "
            "covered, others behind a screen."
        ),
        (
            TUNGSTEN_SHADE,
            TUNGSTEN_SHADE_FROM_150_A,
            METAL_SHADE,
            METAL_SHADE_FROM_60_A,
            STICK_SHADE,
            STICK_SHADE_FROM_60_A,
            STICK_SHADE_FROM_160_A,
            STICK_SHADE_FROM_250_A,
        ),
    ),
    "fire": (_clear_of_fire, (FIRE_CLEAR_FT, FIRE_WATCH_MIN, FIRE_WATCH_NEWER_MIN)),
    "noise": (
        _same(
            "Ears and eyes covered, always. Noise over 8 h: "
            f"{NOISE_PEL_DBA.value:g} dBA (OSHA), {NOISE_REL_DBA.value:g} dBA (NIOSH)."
        ),
        (NOISE_PEL_DBA, NOISE_REL_DBA),
    ),
    "deference": (_same(DEFERENCE), ()),
}
