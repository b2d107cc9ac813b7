"""How hard a bite is to press, and the largest bite that the shop's press can take.

Counts the whole billet as plain carbon steel: copper layers are softer, so the figure is on the
safe side; stainless cladding is harder, and wants about half as much again (common practice).
Leaves out hammers, whose blows are energy and not force.
"""

import math
from dataclasses import dataclass

from billets.errors import DrawOutError
from stock.alloys.book import Figure

CARBON_PERCENT = Figure(0.95, "of a usual blade steel, 1095", "memory")
STRAIN_RATE_PER_S = Figure(1.0, "a press closing about 10 mm/s on a billet 10 mm high", "practice")
FRICTION = Figure(0.4, "hot scaled steel on dry dies, 0.3 to 0.5", "memory")
PLANE_STRAIN = Figure(1.155, "2/√3: von Mises in plane strain", "memory")
GROOVER_SHAPE = Figure(0.4, "Groover, Fundamentals of Modern Manufacturing, Example 18.2", "read")
SHIDA_COLDEST_C = Figure(700.0, "Shida (1969), range of his tests", "memory")
SHIDA_HOTTEST_C = Figure(1200.0, "Shida (1969), range of his tests", "memory")
KGF_MM2_TO_MPA = Figure(9.80665, "kilogram-force (scipy.constants)", "read")


@dataclass(frozen=True)
class Press:
    """The shop's press: largest force [N]; 0 stands for a hand hammer."""

    force_n: float = 0.0

    @property
    def is_hand_hammer(self) -> bool:
        """Whether there is no press to compare a force with."""
        return self.force_n <= 0


def hot_flow_stress_mpa(
    temperature_c: float,
    *,
    strain: float,
    strain_rate_per_s: float = STRAIN_RATE_PER_S.value,
    carbon_percent: float = CARBON_PERCENT.value,
) -> float:
    """Stress at which hot carbon steel gives way.

    Args:
        temperature_c: temperature of the steel [°C], 700 to 1200.
        strain: true strain, above 0, up to 0.7.
        strain_rate_per_s: true strain a second, 0.1 to 100.
        carbon_percent: carbon [%], 0.07 to 1.2.

    Returns:
        Flow stress [MPa]; within 30 % of tests, by its author.

    Raises:
        DrawOutError: a figure outside these limits.

    Source:
        Shida, Effect of carbon content, temperature and strain rate on compression flow stress
        of carbon steels, Hitachi report (1969) (from memory).
    """
    _refuse_flow(temperature_c, strain, strain_rate_per_s, carbon_percent)
    carbon, kilo_kelvin = carbon_percent, (temperature_c + 273) / 1000
    turns = 0.95 * (carbon + 0.41) / (carbon + 0.32)  # where austenite starts to turn
    tail = 0.01 / (carbon + 0.05)
    if kilo_kelvin >= turns:
        base = math.exp(5.0 / kilo_kelvin - tail)
        power = (-0.019 * carbon + 0.126) * kilo_kelvin + 0.075 * carbon - 0.050
    else:
        middle = 0.95 * (carbon + 0.49) / (carbon + 0.42)
        softened = 30 * (carbon + 0.9) * (kilo_kelvin - middle) ** 2
        softened += (carbon + 0.06) / (carbon + 0.09)
        base = softened * math.exp(5.0 / turns - tail)
        power = (0.081 * carbon - 0.154) * kilo_kelvin - 0.019 * carbon + 0.207
        power += 0.027 / (carbon + 0.32)
    strained = strain / 0.2
    shape = 1.3 * math.pow(strained, 0.41 - 0.07 * carbon) - 0.3 * strained
    rate = math.pow(strain_rate_per_s / 10, power)
    return 0.28 * base * shape * rate * KGF_MM2_TO_MPA.value


def upsetting_force_n(
    flow_stress_mpa: float,
    *,
    area_mm2: float,
    contact_mm: float,
    height_mm: float,
    friction: float = FRICTION.value,
) -> float:
    """Force to squeeze a part between flat dies that cover it.

    Args:
        flow_stress_mpa: flow stress at this height [MPa].
        area_mm2: area under the dies at this height [mm²].
        contact_mm: diameter, or length of contact with the die [mm].
        height_mm: height at this moment [mm], above 0.
        friction: coefficient between die and part.

    Returns:
        F = Kf Yf A with Kf = 1 + 0.4 μ D / h [N].

    Source:
        Groover, Fundamentals of Modern Manufacturing, Example 18.2 (read).
    """
    shape = 1 + GROOVER_SHAPE.value * friction * contact_mm / height_mm
    return shape * flow_stress_mpa * area_mm2


def plane_strain_force_n(
    flow_stress_mpa: float,
    *,
    bite_mm: float,
    width_mm: float,
    height_mm: float,
    friction: float = FRICTION.value,
) -> float:
    """Force of one bite between flat dies on a billet that is wider than the bite.

    Args:
        flow_stress_mpa: flow stress in the bite [MPa].
        bite_mm: contact along the billet, 2a [mm].
        width_mm: width of the billet [mm].
        height_mm: height in the bite [mm], above 0.
        friction: coefficient between die and billet.

    Returns:
        p b W with p = 1.155 Yf (1 + μ a / h) [N].

    Source:
        Kalpakjian, Manufacturing Processes for Engineering Materials, forging of a slab in
        plane strain (from memory).
    """
    shape = 1 + friction * bite_mm / 2 / height_mm
    return PLANE_STRAIN.value * flow_stress_mpa * shape * bite_mm * width_mm


def largest_bite_mm(
    force_n: float,
    *,
    flow_stress_mpa: float,
    width_mm: float,
    height_mm: float,
    friction: float = FRICTION.value,
    is_plane_strain: bool = True,
) -> float:
    """Longest contact along the billet that a press can squeeze.

    Args:
        force_n: largest force of the press [N], 0 or more.
        flow_stress_mpa: flow stress in the bite [MPa], above 0.
        width_mm: width of the billet [mm], above 0.
        height_mm: height in the bite [mm], above 0.
        friction: coefficient between die and billet.
        is_plane_strain: whether `plane_strain_force_n` rules, else `upsetting_force_n`.

    Returns:
        Bite [mm] at which that formula asks for exactly this force.
    """
    constant = PLANE_STRAIN.value if is_plane_strain else 1.0
    rise = (friction / 2 if is_plane_strain else GROOVER_SHAPE.value * friction) / height_mm
    plain_mm = force_n / (constant * flow_stress_mpa * width_mm)
    if rise == 0:
        return plain_mm
    # (√(1 + 4 r p) − 1) / 2r, written so that a small force loses no digits.
    return 2 * plain_mm / (1 + math.sqrt(1 + 4 * rise * plain_mm))


def _refuse_flow(temperature_c: float, strain: float, rate: float, carbon: float) -> None:
    """Refuse what lies outside the tests that the flow stress rests on."""
    if not SHIDA_COLDEST_C.value <= temperature_c <= SHIDA_HOTTEST_C.value:
        raise DrawOutError(
            "How hard steel is at {given} °C is not known here; choose from {low} to {high}.",
            temperatures_c={"low": SHIDA_COLDEST_C.value, "high": SHIDA_HOTTEST_C.value},
            plain={"given": f"{temperature_c:g}"},
        )
    for name, given, low, high in (
        ("strain", strain, 1e-6, 0.7),
        ("strain rate a second", rate, 0.1, 100.0),
        ("percentage of carbon", carbon, 0.07, 1.2),
    ):
        if not low <= given <= high:
            raise DrawOutError(
                "A {name} of {given} is outside the tests that the press force rests on; "
                "choose from {low} to {high}.",
                plain={
                    "name": name,
                    "given": f"{given:g}",
                    "low": f"{low:g}",
                    "high": f"{high:g}",
                },
            )
