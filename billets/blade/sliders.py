"""Where the sliders of the blade's page stand, in the shop's unit, and how far they go.

It leaves out the sizes themselves (`billets.blade.sizes`). The ends are our own choice: what a
hand-held blade may be; a form without sliders may go beyond them.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from billets.blade.grind import USUAL_HOLLOW_SHARE, USUAL_SABRE_SHARE, USUAL_WHEEL_MM
from billets.blade.two_faces import SAME
from billets.errors import length_words

MM_PER_IN = 25.4


@dataclass(frozen=True)
class Slider:
    """One slider: numbers in its unit, and its value in words.

    Not every grind has every one; `face` is "left" where the left face's grind decides.
    """

    name: str
    word: str
    unit: str
    value: str
    low: str
    high: str
    step: str
    text: str
    grinds: str
    is_hidden: bool
    face: str = "right"


@dataclass(frozen=True)
class _Range:
    word: str
    low_mm: float
    high_mm: float
    step_mm: float
    step_in: float
    grinds: str = "flat sabre hollow convex"
    face: str = "right"


RANGES: Mapping[str, _Range] = {
    "spine": _Range("Spine thickness", 1.5, 8.0, 0.05, 0.001),
    "height": _Range("Blade height", 12.0, 70.0, 0.25, 0.005),
    "bevel": _Range("Height of the bevel", 4.0, 70.0, 0.25, 0.005, "sabre hollow convex"),
    "wheel": _Range("Radius of the wheel", 25.0, 450.0, 1.0, 0.05, "hollow"),
    "bulge": _Range("Bulge of the face", 0.01, 1.5, 0.01, 0.0005, "convex"),
    "left_bevel": _Range(
        "Left face: height of the bevel", 4.0, 70.0, 0.25, 0.005, "sabre hollow convex", "left"
    ),
    "left_wheel": _Range(
        "Left face: radius of the wheel", 25.0, 450.0, 1.0, 0.05, "hollow", "left"
    ),
    "left_bulge": _Range("Left face: bulge", 0.01, 1.5, 0.01, 0.0005, "convex", "left"),
    "off": _Range(
        "Edge off the middle, to the left",
        *(0.0, 1.5, 0.01, 0.0005),
        "flat sabre hollow convex",
        "left",
    ),
    "edge": _Range("Edge before sharpening", 0.0, 1.5, 0.01, 0.0005),
    "drift": _Range("Core off centre", -1.5, 1.5, 0.01, 0.0005),
    "valley": _Range("Depth of die valleys", 0.0, 0.6, 0.01, 0.0005),
}
ANGLE_LOW, ANGLE_HIGH, ANGLE_STEP = "8", "40", "0.5"  # sharpening, one side


def sliders(
    given: Mapping[str, float], *, grind: str, system: str, left: str = SAME
) -> tuple[Slider, ...]:
    """The sliders in the order of the page.

    Args:
        given: where each stands [mm; "angle" in °]; a grind's own size that is not there stands
            where `billets.blade.grind` would put it.
        grind: the right face's grind; sliders of others are hidden.
        system: "inch" or "metric".
        left: the left face's, as `billets.blade.two_faces.LEFT_GRINDS` has it.

    Returns:
        Sliders. An end moves outwards when a size lies beyond it.

    Raises:
        KeyError: a size that every blade has is missing.
    """
    known = _usual(given) | dict(given)
    made = [
        _length(
            name,
            one,
            known[name],
            grind=left if one.face == "left" else grind,
            system=system,
        )
        for name, one in RANGES.items()
    ]
    angle = known["angle"]
    made.insert(
        list(RANGES).index("drift"),
        Slider(
            name="angle",
            word="Sharpening, each side",
            unit="°",
            value=f"{angle:g}",
            low=ANGLE_LOW,
            high=ANGLE_HIGH,
            step=ANGLE_STEP,
            text=f"{angle:g}°",
            grinds=RANGES["edge"].grinds,
            is_hidden=False,
        ),
    )
    return tuple(made)


def _length(name: str, one: _Range, size_mm: float, *, grind: str, system: str) -> Slider:
    per_unit = MM_PER_IN if system == "inch" else 1.0
    step = one.step_in if system == "inch" else one.step_mm
    low = math.floor(min(one.low_mm, size_mm) / per_unit / step + 1e-9) * step
    high = math.ceil(max(one.high_mm, size_mm) / per_unit / step - 1e-9) * step
    return Slider(
        name=name,
        word=one.word,
        unit="in" if system == "inch" else "mm",
        value=f"{size_mm / per_unit:.5g}",
        low=f"{low:.6g}",
        high=f"{high:.6g}",
        step=f"{step:g}",
        text=length_words(size_mm, system=system),
        grinds=one.grinds,
        is_hidden=grind not in one.grinds.split(),
        face=one.face,
    )


def _usual(given: Mapping[str, float]) -> dict[str, float]:
    """A grind's own sizes where nothing is entered, so that choosing it gives a blade at once."""
    rise_mm = max(0.01, (given["spine"] - given["edge"]) / 2)
    reach_mm = math.sqrt(rise_mm * max(2 * USUAL_WHEEL_MM - rise_mm, 1.0))
    bevel_mm = min(USUAL_SABRE_SHARE * given["height"], USUAL_HOLLOW_SHARE * reach_mm)
    own = {"bevel": bevel_mm, "wheel": USUAL_WHEEL_MM, "bulge": rise_mm / 8}
    return own | {f"left_{name}": size_mm for name, size_mm in own.items()} | {"off": 0.0}
