"""Reads what the layup editor shows: its forms filled or as sent, and the live panel beside them.

The panel is for the last stack that could be read: with a size that cannot, it stays as it was
and says so. The last good stack travels with the form, in a hidden field. It writes nothing.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, TypedDict

from billets.blanks.choices import StockChoices
from billets.errors import DrawOutError
from billets.findings import findings
from billets.forging.calibration import Calibration
from billets.forging.forecast import followed
from billets.history.record import shop_calibration
from billets.layup import design as layup_design
from billets.layup.case import case_of
from billets.layup.design import blade_from
from billets.layup_editor.forms import LayerForms, LayupForm, rows_sent
from billets.layup_editor.rows import MOST_LAYERS, Row
from billets.models import Layup
from billets.panel.blade import ShownBlade, shown_blade
from billets.panel.panel import Panel, glance_words, panel_of
from stock.alloys.book import Book
from stock.house import House
from stock.models import alloy_book
from stock.quantities.named_values import FieldValues
from stock.quantities.units import field_text

SELDOM = ("zinc_control", "bar_folds", "override_reason")  # fields that few layups need
NOTHING_YET = "No layer yet"
UNFINISHED = "A thickness is still to be typed"
NOT_READ = "Put the marked field right"
LONGEST_STACK = 20_000  # characters of a stack that came back from a page
LONGEST_NM = 10**11  # 100 m, as a typed length at most
IN = 25_400_000

# What a new layup starts from: the plain five layers of common practice.
NEW_ROWS: tuple[tuple[str, str, int], ...] = (
    ("1084", "cladding", IN // 8),
    ("c11000", "line", 508_000),
    ("1084", "core", IN * 3 // 16),
    ("c11000", "line", 508_000),
    ("1084", "cladding", IN // 8),
)
NEW_ROW: Row = {"metal": "a1084", "role": "cladding", "thickness": ""}


class Bench(TypedDict):
    """The form of a layup and the panel beside it."""

    blade: ShownBlade | None
    layup: Layup | None
    form: LayupForm
    rows: LayerForms
    panel: Panel | None
    is_behind: bool
    is_unfinished: bool
    is_refused: bool
    opens_seldom: bool
    good: str
    glance: str


@dataclass
class Editor:
    """The editor of one request: forms, choices, the panel and what it is for."""

    house: House
    layup: Layup | None
    alloys: Book
    choices: StockChoices
    form: LayupForm
    rows: LayerForms
    design: layup_design.Design | None
    is_behind: bool = False  # the panel shows an earlier stack, for this one cannot be read
    is_refused: bool = False  # it was to be kept, and was not
    query: Mapping[str, str] = field(default_factory=dict)  # sizes that the blade's form sent

    @property
    def is_unfinished(self) -> bool:
        """Whether nothing is wrong, and something only not typed yet."""
        return self.is_behind and not (self.form.errors or any(self.rows.errors))

    def forget_blanks(self) -> None:
        """Blame no field for being empty that nobody has had the time to type in."""
        for row in self.rows.forms:
            if not row["thickness"].value():
                row.errors.pop("thickness", None)
        if not self.form["name"].value():
            self.form.errors.pop("name", None)

    def lead_to_what_is_wrong(self) -> None:
        """Let the page open at the first field that is wrong; the name stands last on it."""
        for form in (*self.rows.forms, self.form):
            wrong = sorted((name for name in form.fields if name in form.errors), key="name".__eq__)
            if wrong:
                form.fields[wrong[0]].widget.attrs["autofocus"] = True
                return

    def opens_seldom(self, panel: Panel | None) -> bool:
        """Whether the fields that few layups need stand open: filled in, wrong, or asked for."""
        filled = [name for name in SELDOM if self.form.fields.get(name) and self.form[name].value()]
        is_real = any(self.form[name].value() not in (0, "0") for name in filled)
        is_stopped = panel is not None and panel.stops > 0
        return is_real or is_stopped or any(name in self.form.errors for name in SELDOM)

    def panel(self) -> Panel | None:
        """Everything about the stack, or about the last one that could be read."""
        if self.design is None:
            return None
        return panel_of(
            case_of(
                self.design, alloys=self.alloys, house=self.house, calibration=self.calibration()
            )
        )

    def calibration(self) -> Calibration:
        """What the shop's billets say."""
        return shop_calibration(self.house)

    def blade(self, panel: Panel) -> ShownBlade:
        """The blade of the stack; sliders without a script come back as `query`."""
        finish = panel.drawn.finish
        return shown_blade(
            panel.case,
            mark=str(self.layup or "new layup"),
            drawn_length_mm=finish.length_mm if finish else None,
            query=self.query,
        )

    def context(self) -> Bench:
        """What the templates take."""
        panel = self.panel()
        glance = glance_words(panel, house=self.house) if panel else NOTHING_YET
        if self.is_behind:
            glance = UNFINISHED if self.is_unfinished else NOT_READ
        return Bench(
            blade=self.blade(panel) if panel else None,
            layup=self.layup,
            form=self.form,
            rows=self.rows,
            panel=panel,
            is_behind=self.is_behind,
            is_unfinished=self.is_unfinished,
            is_refused=self.is_refused,
            opens_seldom=self.opens_seldom(panel),
            good=json.dumps(self.design.to_json()) if self.design else "",
            glance=glance,
        )


def opened(*, layup: Layup | None, house: House, query: Mapping[str, str]) -> Editor:
    """The editor as it is opened: a layup as it was kept, or a new one."""
    alloys = alloy_book()
    choices = StockChoices(alloys, house.system)
    rows = LayerForms(
        house=house, choices=choices, rows=kept_rows(layup, house=house), is_bound=False
    )
    form = LayupForm(house=house, layup=layup, initial=kept_fields(layup))
    design = layup.design() if layup else new_design()
    return Editor(house, layup, alloys, choices, form, rows, design, query=query)


def sent(
    data: Mapping[str, str], *, layup: Layup | None, house: House, rows: list[Row] | None = None
) -> Editor:
    """The editor as it was sent, or with other rows than those sent."""
    alloys = alloy_book()
    choices = StockChoices(alloys, house.system)
    given = rows_sent(data) if rows is None else rows
    form = LayupForm(data, house=house, layup=layup)
    layers = LayerForms(house=house, choices=choices, rows=given, is_bound=True)
    design = read_design(form, layers, alloys=alloys, house=house)
    is_behind = design is None and bool(given)
    if is_behind:
        design = last_good(data.get("good", "")) or (layup.design() if layup else None)
    return Editor(house, layup, alloys, choices, form, layers, design, is_behind)


def read_design(
    form: LayupForm, rows: LayerForms, *, alloys: Book, house: House
) -> layup_design.Design | None:
    """The stack as numbers; None while a size of it cannot be read. Its name does not matter.

    A thickness that was left to width and length is worked out and put into the form's data.
    """
    form.is_valid()
    if not rows.is_valid() or set(form.errors) - {"name", "note", "override_reason"}:
        return None
    design = given_design(form.fields_kept(), rows)
    if form.cleaned_data["finish_thickness_nm"] is not None:
        return design
    case = case_of(design, alloys=alloys, house=house, calibration=shop_calibration(house))
    try:
        design = followed(case)
    except DrawOutError as refusal:
        form.add_error("finish_length_nm", refusal.sentence(house.system))
        return None
    form.cleaned_data["finish_thickness_nm"] = design.finish_thickness_nm
    return design


def given_design(given: Mapping[str, Any], rows: LayerForms) -> layup_design.Design:
    """The stack as it was typed; a thickness that was left empty is 0."""
    return layup_design.Design(
        layers=rows.layers(),
        blank_length_nm=given["blank_length_nm"],
        blank_width_nm=given["blank_width_nm"],
        cut_allowance_nm=given["cut_allowance_nm"],
        cleaning_loss_nm=given["cleaning_loss_nm"],
        seam_closed=given["seam_closed"],
        finish_thickness_nm=given["finish_thickness_nm"] or 0,
        finish_width_nm=given["finish_width_nm"],
        finish_length_nm=given["finish_length_nm"],
        blade=blade_from(given),
        zinc_control=given["zinc_control"],
    )


def new_stops(layup: Layup, design: layup_design.Design, *, house: House) -> tuple[str, ...]:
    """Stops that a changed stack has beyond those that the layup had, as sentences."""
    alloys = alloy_book()
    was, now = (
        findings.findings(case_of(one, alloys=alloys, house=house))
        for one in (layup.design(), design)
    )
    before = Counter(one.code for one in was if one.level == "stop")
    said = []
    for one in now:
        if one.level == "stop":
            before[one.code] -= 1
            said += [one.sentence(house.system)] if before[one.code] < 0 else []
    return tuple(said)


def last_good(text: str) -> layup_design.Design | None:
    """A stack that came back from the page; None for anything else. Only ever shown, never kept."""
    if not 0 < len(text) <= LONGEST_STACK:
        return None
    try:
        design = layup_design.Design.from_json(json.loads(text))
    except (ValueError, AttributeError, RecursionError):
        return None
    is_sane = all(0 <= nm <= LONGEST_NM for nm in whole_numbers(design.to_json()))
    return design if is_sane and len(design.layers) <= MOST_LAYERS else None


def whole_numbers(data: object) -> Iterator[int]:
    """Every whole number in plain data, however deep."""
    if isinstance(data, int):
        yield data
    elif isinstance(data, dict | list):
        for one in data.values() if isinstance(data, dict) else data:
            yield from whole_numbers(one)


def kept_rows(layup: Layup | None, *, house: House) -> list[Row]:
    """Rows of a layup from the top face down, or those that a new one starts from."""
    if layup is None:
        return [row_of(f"a{alloy}", role, nm, house=house) for alloy, role, nm in NEW_ROWS]
    return [
        row_of(
            f"m{row.material_id}" if row.material_id else f"a{row.alloy}",
            row.role,
            row.thickness_nm,
            house=house,
        )
        for row in reversed(layup.layers.all())
    ]


def row_of(metal: str, role: str, thickness_nm: int, *, house: House) -> Row:
    """One row as it is typed."""
    thickness = field_text(thickness_nm, system=house.system)
    return {"metal": metal, "role": role, "thickness": thickness}


def kept_fields(layup: Layup | None) -> FieldValues:
    """Fields of a layup, or what a new one starts from: the model's own defaults."""
    row = layup or Layup()
    stored = {name: getattr(row, name) for name in LayupForm.base_fields}
    if row.finish_width_nm is not None and row.finish_length_nm is not None:
        stored["finish_thickness_nm"] = None  # it follows from the two
    return stored


def new_design() -> layup_design.Design:
    """The stack that a new layup starts from."""
    return Layup().design_of(
        layup_design.Layer(alloy, nm, role) for alloy, role, nm in reversed(NEW_ROWS)
    )


__all__ = ["NEW_ROW", "Editor", "new_stops", "opened", "sent"]
