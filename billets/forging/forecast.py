"""From a layup and a shop's settings to the forecast of its billet.

The one place where whole nanometres, percent and the shop's settings become the plain numbers of
the metalwork. Leaves out all judgement: that is `billets.findings.findings`.
"""

from dataclasses import dataclass, replace

from billets.errors import NM_PER_MM, ForgingError, HeatError, nm_from_mm
from billets.forging.calibration import calibrated
from billets.forging.drawout import Block
from billets.forging.outcome import DrawOut, HeatRange, draw_out
from billets.forging.press import SHIDA_COLDEST_C, SHIDA_HOTTEST_C, Press
from billets.forging.schedule import Method
from billets.forging.target import Drawn, Stack, Wanted, drawn_to
from billets.heat.cooling import Air
from billets.heat.soak import Soak, soak
from billets.heat.steel import HOTTEST_C
from billets.layup.case import Case, OwnFigures
from billets.layup.design import Design
from billets.layup.stack import stack_height_nm
from billets.layup.window import Window
from stock.house import House

NO_WINDOW = (
    "This stack has no working window that is known at both ends, so there are no seconds and no "
    "press forces to give; put right first what the findings say about it."
)


@dataclass(frozen=True)
class Outlook:
    """What a layup's metal becomes, as far as that can be said; what cannot is None.

    `refused` says why there is no size, or no more than a size; `unsoaked` why no soak.
    """

    size: Drawn | None
    outcome: DrawOut | None
    soak: Soak | None
    refused: ForgingError | None
    unsoaked: ForgingError | None


def method_of(house: House, *, calibration: OwnFigures | None = None) -> Method:
    """How a shop works a stack, with its own loss and spread once enough billets are measured.

    Args:
        house: the shop's settings.
        calibration: what its measured billets say, if any.

    Returns:
        Plain numbers for `billets.forging.schedule`.

    Raises:
        DrawOutError: a setting is impossible; the sentence names it.
    """
    method = Method(
        bonding_heats=house.bonding_heats,
        largest_reduction=house.reduction_percent / 100,
        bite_mm=house.bite_nm / NM_PER_MM,
        die_width_mm=house.die_width_nm / NM_PER_MM,
        scale_mm=house.scale_per_heat_nm / NM_PER_MM,
        crop_ratio=house.crop_percent / 100,
        valley_mm=house.valley_nm / NM_PER_MM,
    )
    return calibrated(method, calibration=calibration)


def stack_block(design: Design) -> Block:
    """A layup's stack as welded shut, its layers cleaned.

    Args:
        design: the layup.

    Returns:
        The block [mm]; the cut allowance is not in it, for it is trimmed before welding.

    Raises:
        DrawOutError: a size is not above 0, such as a layup without layers.
    """
    return _block(design, height_nm=stack_height_nm(design))


def _block(design: Design, *, height_nm: int) -> Block:
    return Block(
        length_mm=design.blank_length_nm / NM_PER_MM,
        width_mm=design.blank_width_nm / NM_PER_MM,
        thickness_mm=height_nm / NM_PER_MM,
    )


def stack_of(case: Case) -> Stack:
    """A layup's stack in plain numbers: its block, its layers, and how the shop works it.

    Args:
        case: the layup in its shop.

    Returns:
        The stack [mm], layers from the bottom up, cleaned.

    Raises:
        DrawOutError: a size is not above 0, or a setting is impossible.
    """
    return Stack(
        block=_block(case.design, height_nm=case.height_nm),
        layers_mm=tuple(nm / NM_PER_MM for nm in case.cleaned_nm),
        method=method_of(case.house, calibration=case.calibration),
    )


def wanted_of(design: Design) -> Wanted:
    """The sizes that a layup is to be drawn to.

    Args:
        design: the layup.

    Returns:
        Thickness, and width or length unless both are left to the metal [mm]; width and length
        alone where both are set, for then the thickness is the metal's to give.

    Raises:
        DrawOutError: a size is not above 0.
    """
    width_nm, length_nm = design.finish_width_nm, design.finish_length_nm
    is_given = width_nm is None or length_nm is None
    return Wanted(
        thickness_mm=design.finish_thickness_nm / NM_PER_MM if is_given else None,
        width_mm=None if width_nm is None else width_nm / NM_PER_MM,
        length_mm=None if length_nm is None else length_nm / NM_PER_MM,
    )


def followed(case: Case) -> Design:
    """A layup with the thickness that its width and length leave to it.

    Args:
        case: the layup; unless width and length are both set, it stays as it is.

    Returns:
        The layup with that thickness, in whole nanometres.

    Raises:
        DrawOutError: the metal cannot become that.
    """
    design = case.design
    if design.finish_width_nm is None or design.finish_length_nm is None:
        return design
    size = drawn_size(case)
    return replace(design, finish_thickness_nm=nm_from_mm(size.finish.thickness_mm))


def drawn_size(case: Case) -> Drawn:
    """What size a layup comes out at; needs no working window.

    Args:
        case: the layup in its shop.

    Returns:
        Stages, spread, and the block after cropping [mm].

    Raises:
        DrawOutError: the metal cannot become that.
    """
    return drawn_to(stack_of(case), wanted=wanted_of(case.design))


def forecast(case: Case, *, wanted: Wanted | None = None) -> DrawOut:
    """Everything about drawing out a layup's billet in this shop.

    Args:
        case: the layup in its shop.
        wanted: other sizes than the layup's own, if any.

    Returns:
        Finished size, losses, press schedule with seconds and forces, layers, notes.

    Raises:
        DrawOutError: the metal cannot become that.
        HeatError: the window is empty, or not known at both ends.
    """
    heat, press = heat_range(case.window, house=case.house), Press(float(case.house.press_n))
    stack, sizes = stack_of(case), wanted or wanted_of(case.design)
    drawn = drawn_to(stack, wanted=sizes)
    return draw_out(stack, drawn=drawn, wanted=sizes, heat=heat, press=press)


def soak_of(case: Case) -> Soak:
    """How long a layup's stack takes to even out at its ceiling, once its faces are there.

    Args:
        case: the layup in its shop.

    Returns:
        Seconds, and how far the middle lags while the fire still heats it. Counts the stack as
        solid: before the first bond it takes longer, by an amount that is not known.

    Raises:
        DrawOutError: the stack has no height.
        HeatError: the ceiling is not known.
    """
    ceiling_c = case.window.ceiling_c
    if ceiling_c is None:
        raise HeatError(NO_WINDOW)
    height_mm = _block(case.design, height_nm=case.height_nm).thickness_mm
    return soak(height_mm, temperature_c=min(ceiling_c, HOTTEST_C.value))


def heat_range(window: Window, *, house: House) -> HeatRange:
    """A working window as plain numbers, held within what is known of hot steel.

    Args:
        window: the layup's.
        house: the shop's settings, for what its billets lose heat to.

    Returns:
        Ceiling and floor [°C], and whether they had to be held.

    Raises:
        HeatError: the window is empty, or not known at both ends.
    """
    if window.ceiling_c is None or window.floor_c is None or not window.is_open:
        raise HeatError(NO_WINDOW)
    ceiling_c = min(window.ceiling_c, SHIDA_HOTTEST_C.value)
    floor_c = max(window.floor_c, SHIDA_COLDEST_C.value)
    is_held = ceiling_c != window.ceiling_c or floor_c != window.floor_c
    return HeatRange(ceiling_c, floor_c, Air(house.emissivity_percent / 100), is_held)


def outlook_of(case: Case) -> Outlook:
    """As much of a layup's forecast as there is, worked out once for all that show it.

    Args:
        case: the layup in its shop.

    Returns:
        Size, outcome and soak with what stood in their way; nothing is raised.
    """
    size = outcome = soaking = refused = unsoaked = None
    try:
        stack, wanted = stack_of(case), wanted_of(case.design)
        size = drawn_to(stack, wanted=wanted)
        heat, press = heat_range(case.window, house=case.house), Press(float(case.house.press_n))
        outcome = draw_out(stack, drawn=size, wanted=wanted, heat=heat, press=press)
    except ForgingError as error:
        refused = error
    try:
        soaking = soak_of(case)
    except ForgingError as error:
        unsoaked = error
    return Outlook(size, outcome, soaking, refused, unsoaked)
