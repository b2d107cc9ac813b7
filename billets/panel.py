"""The live panel of a layup: stack, findings, sums, heat, draw-out, treatment card. Pure.

One call gives everything that the editor, a billet's page and their tests show; each part says for
itself why it has nothing to say, so that one bad size never empties the page. It leaves out the
drawings of the blade (`billets.blade_pages`) and the form.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from billets import layup as stack
from billets.calibration import Calibration
from billets.design import Design
from billets.drawing_stack import StackDrawing, layers_of, stack_drawing
from billets.finding import Finding
from billets.forecast import NO_WINDOW
from billets.panel_drawn import DrawnPart, drawn_part
from billets.panel_heat import HeatPart, heat_part
from billets.panel_words import FigureLine
from billets.saying import listed
from billets.stack import known_layers
from billets.treatment import Card, treatment_card
from billets.window import Window, window
from stock.alloys import Book, UnknownAlloy, short_name
from stock.drawing_shapes import DrawingError
from stock.house import House
from stock.units import length_text, mass_text, temperature_one_text

WORDS: Mapping[str, str] = {"stop": "Stop", "care": "Care", "note": "Note"}
PROCESS_WORDS: Mapping[str, str] = {
    "bonded": "bonded below the copper's melting point",
    "forge-welded": "forge-welded",
}


@dataclass(frozen=True)
class SaidFinding:
    """A finding in the shop's words, with the numbers of its layers counted from the bottom."""

    level: str
    word: str
    code: str
    what: str
    why: str
    to_do: str
    layers: tuple[int, ...]
    layer_words: str


@dataclass(frozen=True)
class Panel:
    """Everything there is to say about a layup as it stands."""

    design: Design
    window: Window
    stack: StackDrawing | None
    findings: tuple[SaidFinding, ...]
    sums: tuple[FigureLine, ...]
    heat: HeatPart
    drawn: DrawnPart
    card: Card | None
    assumptions: tuple[str, ...]

    @property
    def stops(self) -> int:
        """How many findings forbid planning."""
        return sum(1 for one in self.findings if one.level == "stop")

    @property
    def cares(self) -> int:
        """How many ask for care."""
        return sum(1 for one in self.findings if one.level == "care")


def panel_of(
    design: Design, *, alloys: Book, house: House, calibration: Calibration | None = None
) -> Panel:
    """Everything there is to say about a layup in this shop.

    Args:
        design: the layup, of any number of layers.
        alloys: every alloy by key.
        house: the shop's settings.
        calibration: what the shop's measured billets say, if any.

    Returns:
        All parts, in the shop's units; nothing is raised for a layup that is wrong.

    Source:
        The modules that each part names.
    """
    rules = stack.rules_of(house)
    heats = window(design, alloys, rules)
    found = stack.findings(design, alloys=alloys, rules=rules)
    drawn = drawn_part(design, window=heats, house=house, calibration=calibration)
    return Panel(
        design=design,
        window=heats,
        stack=drawn_stack(design, alloys=alloys),
        findings=(
            *(said_finding(one, system=house.system) for one in found),
            *_not_drawn(drawn, has_stop=stack.worst(found) == "stop"),
        ),
        sums=tuple(sum_lines(design, alloys=alloys, house=house)),
        heat=heat_part(design, window=heats, drawn=drawn.outcome, alloys=alloys, house=house),
        drawn=drawn,
        card=core_card(design, alloys=alloys, window=heats),
        assumptions=stack.ASSUMPTIONS,
    )


def _not_drawn(drawn: DrawnPart, *, has_stop: bool) -> Iterator[SaidFinding]:
    """That the metal cannot become what is asked for, unless a stop says worse already."""
    if drawn.refused and drawn.refused != NO_WINDOW and not has_stop:
        yield SaidFinding("care", WORDS["care"], "not-drawn", drawn.refused, "", "", (), "")


def said_finding(found: Finding, *, system: str) -> SaidFinding:
    """A finding in the shop's words.

    Args:
        found: the finding.
        system: "inch" or "metric".

    Returns:
        Its words, and its layers numbered from 1 at the bottom.

    Source:
        `billets.findings`.
    """
    words = found.words(system)
    return SaidFinding(
        level=found.level,
        word=WORDS[found.level],
        code=found.code,
        what=words.what,
        why=words.why,
        to_do=words.to_do,
        layers=tuple(place + 1 for place in found.layers),
        layer_words=listed(found.layers) if found.layers else "",
    )


def drawn_stack(design: Design, *, alloys: Book) -> StackDrawing | None:
    """The stack to scale.

    Args:
        design: the layup.
        alloys: every alloy by key; an unknown one is drawn without a family.

    Returns:
        The drawing; None for a layup that has no layer to draw.

    Source:
        `billets.drawing_stack`.
    """
    found = [alloys.get(layer.alloy) for layer in design.layers]
    names = [short_name(layer.alloy, book=alloys) for layer in design.layers]
    families = [one.colour if one else "other" for one in found]
    try:
        return stack_drawing(layers_of(design, names=names, families=families))
    except DrawingError:
        return None


def sum_lines(design: Design, *, alloys: Book, house: House) -> list[FigureLine]:
    """Height, mass and process of a stack.

    Args:
        design: the layup.
        alloys: every alloy by key.
        house: the shop's settings.

    Returns:
        Figures; the mass is left out while an alloy is unknown.

    Source:
        `billets.stack`.
    """
    system = house.system
    height_nm = stack.stack_height_nm(design)
    lines = [FigureLine("Stack, cleaned", length_text(height_nm, system=system))]
    try:
        ug = stack.mass_ug(design, alloys=alloys)
        lines.append(FigureLine("Mass", mass_text(ug, system=system)))
    except UnknownAlloy as error:
        lines.append(FigureLine("Mass", "not known", str(error)))
    lines.append(FigureLine("Joined", PROCESS_WORDS[stack.process(design, alloys)]))
    cut_nm = stack.cut_length_nm(design)
    lines.append(
        FigureLine(
            "Blanks to cut",
            f"{len(design.layers)} × {length_text(cut_nm, system=system)}",
            f"{length_text(design.blank_width_nm, system=system)} wide",
        )
    )
    return lines


def core_card(design: Design, *, alloys: Book, window: Window) -> Card | None:
    """The heat-treatment card of the core.

    Args:
        design: the layup.
        alloys: every alloy by key.
        window: the stack's working window.

    Returns:
        The card; None when no layer is called the core, or nobody knows its alloy.

    Source:
        `billets.treatment`.
    """
    place = stack.core_index(design)
    core = known_layers(design, alloys).get(place) if place is not None else None
    return treatment_card(core, ceiling_c=window.ceiling_c) if core else None


def glance_words(panel: Panel, *, house: House) -> str:
    """The panel in one line, for a phone that shows the form.

    Args:
        panel: the panel.
        house: the shop's settings.

    Returns:
        Such as "1/2 in high · 1600 to 1796 °F · 1 stop".

    Source:
        The panel.
    """
    words = [length_text(stack.stack_height_nm(panel.design), system=house.system) + " high"]
    if panel.window.is_open:
        first = house.temperature_unit
        floor, ceiling = (
            temperature_one_text(mdegc or 0, unit=first)
            for mdegc in (panel.window.floor_mdegc, panel.window.ceiling_mdegc)
        )
        words.append(f"{floor.rsplit(' ', 1)[0]} to {ceiling}")
    words.append(_counted(panel))
    return " · ".join(words)


def _counted(panel: Panel) -> str:
    if panel.stops:
        return f"{panel.stops} stop{'s' if panel.stops > 1 else ''}"
    if panel.cares:
        return f"{panel.cares} care{'s' if panel.cares > 1 else ''}"
    return "sound"
