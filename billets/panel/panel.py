"""The live panel of a layup: stack, findings, sums, heat, draw-out, treatment card. Pure.

One call gives everything that the editor, a billet's page and their tests show; each part says for
itself why it has nothing to say, so that one bad size never empties the page. It leaves out the
drawings of the blade (`billets.panel.blade`) and the form.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from billets.drawings.stack import StackDrawing, drawn_stack
from billets.findings import findings as findings_findings
from billets.findings.finding import Finding
from billets.forging.forecast import NO_WINDOW, outlook_of
from billets.heat.treatment import Card, core_card
from billets.layup import stack as layup_stack
from billets.layup.case import Case
from billets.layup.design import Design
from billets.layup.window import Window
from billets.layup.words import listed
from billets.panel.drawn import DrawnPart, drawn_part
from billets.panel.figures import FigureLine
from billets.panel.heat import HeatPart, heat_part
from stock.alloys.book import UnknownAlloy
from stock.house import House
from stock.quantities.units import length_text, mass_text, temperature_one_text

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

    case: Case
    stack: StackDrawing | None
    findings: tuple[SaidFinding, ...]
    sums: tuple[FigureLine, ...]
    heat: HeatPart
    drawn: DrawnPart
    card: Card | None
    assumptions: tuple[str, ...]

    @property
    def design(self) -> Design:
        """The layup."""
        return self.case.design

    @property
    def window(self) -> Window:
        """Its working window."""
        return self.case.window

    @property
    def stops(self) -> int:
        """How many findings forbid planning."""
        return sum(1 for one in self.findings if one.level == "stop")

    @property
    def cares(self) -> int:
        """How many ask for care."""
        return sum(1 for one in self.findings if one.level == "care")


def panel_of(case: Case) -> Panel:
    """Everything there is to say about a layup in this shop.

    Args:
        case: the layup, of any number of layers.

    Returns:
        All parts, in the shop's units; nothing is raised for a layup that is wrong.
    """
    found = findings_findings.findings(case)
    outlook = outlook_of(case)
    drawn = drawn_part(outlook, design=case.design, house=case.house)
    return Panel(
        case=case,
        stack=drawn_stack(case),
        findings=(
            *(said_finding(one, system=case.house.system) for one in found),
            *_not_drawn(drawn, has_stop=findings_findings.worst(found) == "stop"),
        ),
        sums=tuple(sum_lines(case)),
        heat=heat_part(case, outlook=outlook),
        drawn=drawn,
        card=core_card(case),
        assumptions=layup_stack.ASSUMPTIONS,
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


def sum_lines(case: Case) -> list[FigureLine]:
    """Height, mass and process of a stack.

    Args:
        case: the layup in its shop.

    Returns:
        Figures; the mass is left out while an alloy is unknown.
    """
    design, system = case.design, case.house.system
    lines = [FigureLine("Stack, cleaned", length_text(case.height_nm, system=system))]
    try:
        ug = layup_stack.mass_ug(design, alloys=case.alloys)
        lines.append(FigureLine("Mass", mass_text(ug, system=system)))
    except UnknownAlloy as error:
        lines.append(FigureLine("Mass", "not known", str(error)))
    lines.append(FigureLine("Joined", PROCESS_WORDS[case.process]))
    cut_nm = layup_stack.cut_length_nm(design)
    lines.append(
        FigureLine(
            "Blanks to cut",
            f"{len(design.layers)} × {length_text(cut_nm, system=system)}",
            f"{length_text(design.blank_width_nm, system=system)} wide",
        )
    )
    return lines


def glance_words(panel: Panel, *, house: House) -> str:
    """The panel in one line, for a phone that shows the form.

    Args:
        panel: the panel.
        house: the shop's settings.

    Returns:
        Such as "1/2 in high · 1600 to 1796 °F · 1 stop".
    """
    words = [length_text(panel.case.height_nm, system=house.system) + " high"]
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
