"""One sheet of paper, two sides, for one billet: everything it says, put together.

Pure. The parts are `shop.sheets.stack`, `sheet_heat`, `sheet_press`, `sheet_blade`,
`sheet_treatment` and `sheet_steps`. It shows no money to anybody.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from billets.findings import findings
from billets.findings.cautions import cautions
from billets.forging.forecast import outlook_of
from billets.layup.case import Case
from billets.panel.panel import PROCESS_WORDS
from shop.sheets.blade import BladeOnPaper, blade_on_paper
from shop.sheets.fit import TYPES, BackWords, back_size, on_the_front, row_class, row_mm
from shop.sheets.heat import HeatOnPaper, TreatmentOnPaper, heat_on_paper, treatment_on_paper
from shop.sheets.press import PressOnPaper, press_on_paper
from shop.sheets.stack import StackOnPaper, stack_on_paper
from shop.sheets.steps import PaperStep, steps_on_paper
from shop.sheets.subject import Subject
from stock.output.qr_code import QrCode, QrError, qr_code

NAME_STEPS = ((22, "short"), (44, "medium"))  # characters of a name that fit at each size


@dataclass(frozen=True)
class Override:
    """Stops that the owner has answered for, and the written reason."""

    stops: tuple[str, ...]
    reason: str

    @property
    def characters(self) -> int:
        """How much there is to print."""
        return sum(len(stop) for stop in self.stops) + len(self.reason)


@dataclass(frozen=True)
class StudentSheet:
    """Both sides of one sheet."""

    key: str  # letters that make the ids of its drawings its own
    subject: Subject
    name_size: str  # "short" | "medium" | "long": how large the name may be
    about: str
    qr: QrCode | None
    stack: StackOnPaper | None
    heat: HeatOnPaper
    press: PressOnPaper
    blade: BladeOnPaper | None
    treatment: TreatmentOnPaper | None
    steps: tuple[PaperStep, ...]
    cautions: tuple[str, ...]
    deference: str
    override: Override | None
    paper: str

    @property
    def mark_size(self) -> str:
        """Class of the mark's box: as wide as its characters."""
        return f"wide-{max(3, min(len(self.subject.mark or '12345'), 8))}"

    @property
    def row(self) -> str:
        """Class of the press table's rows: as high as there is room for."""
        return row_class(self._row_mm(" ".join(self.front_cautions)))

    def _row_mm(self, cautions: str) -> float:
        """Height of a row of the press table under these cautions [mm]."""
        return row_mm(
            paper=self.paper,
            stack_mm=self.stack.height_mm if self.stack else 0.0,
            rows=self.press.longest,
            caption=self.stack.small_words if self.stack else "",
            override=self.override.characters if self.override else 0,
            cautions=cautions,
        )

    @property
    def back(self) -> str:
        """Class of the second side: how large its words may be."""
        return back_size(paper=self.paper, words=self.back_words)

    @property
    def says_sources(self) -> bool:
        """Whether the second side has room for where its figures come from."""
        return not TYPES[self.back].is_bare

    @property
    def front_cautions(self) -> tuple[str, ...]:
        """The gravest cautions, for the first side."""
        return self.cautions[: self._on_the_front]

    @property
    def back_cautions(self) -> tuple[str, ...]:
        """The others."""
        return self.cautions[self._on_the_front :]

    @property
    def back_words(self) -> BackWords:
        """What is written on the second side."""
        return replace(self._back_bare, cautions=" ".join((*self.back_cautions, self.deference)))

    @cached_property
    def _on_the_front(self) -> int:
        """How many of the cautions the first side takes."""
        every = (*self.cautions, self.deference)
        return on_the_front(
            every, paper=self.paper, words=self._back_bare, front_row_mm=self._row_mm
        )

    @property
    def _back_bare(self) -> BackWords:
        """The second side without its cautions."""
        blade, card = self.blade, self.treatment
        return BackWords(
            steps=tuple(
                tuple(f"{step.do} {step.how}" for step in column) for column in self.step_columns
            ),
            said=(blade.refused or blade.size_words, *blade.sentences) if blade else (),
            section_ratio=blade.section_ratio if blade else 0.0,
            view_ratios=blade.view_ratios if blade else (),
            treatment=card.row_words if card else (),
            captions=card.captions if card else (),
            sources=card.sources if card else "",
            cautions="",
        )

    @property
    def step_columns(self) -> tuple[tuple[PaperStep, ...], tuple[PaperStep, ...]]:
        """Steps in two columns, to be read down and then down again."""
        half = (len(self.steps) + 1) // 2
        return self.steps[:half], self.steps[half:]


def student_sheet(subject: Subject, *, key: str = "one") -> StudentSheet:
    """The sheet of one billet.

    Args:
        subject: the billet and whom it is for.
        key: letters that make the drawings' ids their own in the file.

    Returns:
        All parts in the shop's system; nothing is raised for a layup that is wrong.
    """
    case, system = subject.case, subject.case.house.system
    outlook = outlook_of(case)
    heat = heat_on_paper(case, outlook=outlook)
    press = press_on_paper(case, outlook=outlook)
    *warned, last = cautions(case)
    return StudentSheet(
        key=key,
        subject=subject,
        name_size=_name_size(subject.who),
        about=_about(subject),
        qr=_qr(subject.address),
        stack=stack_on_paper(case, sources=subject.sources),
        heat=heat,
        press=press,
        blade=blade_on_paper(case, mark=subject.mark, drawn_length_mm=press.length_mm, key=key),
        treatment=treatment_on_paper(case),
        steps=steps_on_paper(case, heat=heat, press=press, folds=subject.folds),
        cautions=tuple(one.sentence(system) for one in warned),
        deference=last.sentence(system),
        override=_override(case, reason=subject.override_reason),
        paper=case.house.paper,
    )


def _name_size(name: str) -> str:
    for most, size in NAME_STEPS:
        if len(name) <= most:
            return size
    return "long"


def _about(subject: Subject) -> str:
    """Layup, process and knife in one line."""
    how = PROCESS_WORDS[subject.case.process]
    words = [subject.layup_name, how]
    if subject.knife:
        words.append(subject.knife)
    return " · ".join(words)


def _qr(address: str) -> QrCode | None:
    """The code, or none where the address is missing or too long for one."""
    try:
        return qr_code(address)
    except QrError:
        return None


def _override(case: Case, *, reason: str) -> Override | None:
    """What the owner answered for; None where nothing forbids the stack, or nobody answered."""
    if not reason:
        return None
    found = findings.findings(case)
    stops = tuple(one.words(case.house.system).what for one in found if one.level == "stop")
    return Override(stops, reason) if stops else None
