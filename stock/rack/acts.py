"""What can be done to a piece by hand: which acts suit it, and how each is carried out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from stock.ledger import by_hand, receiving, set_asides
from stock.ledger.refusals import BadAmount
from stock.models import LENGTH_FORMS, Form, Piece
from stock.quantities.areas import amount_text
from stock.quantities.money import credit_words
from stock.rack.forms import (
    CountForm,
    CutForm,
    MeasureForm,
    PartForm,
    PieceForm,
    PlaceForm,
    ScrapForm,
    SendBackForm,
    UseForm,
)
from stock.who import Person

Do = Callable[[Piece, Any, Any], str]  # piece, form, person: what to say when it is done


@dataclass(frozen=True)
class Act:
    """One act: its words on the page, its form, what it does, where a refusal is shown."""

    key: str
    words: str
    form: type[PieceForm]
    do: Do
    yes: str
    field: str | None = None
    is_grave: bool = False


def cut(piece: Piece, form: CutForm, by: Person) -> str:
    """A length for a job, or scrapped."""
    given = form.cleaned_data
    length = amount_text(given["length_nm"], form=Form.FLAT, system=form.house.system)
    if not given["job"]:
        by_hand.scrap(
            piece=piece,
            amount=given["length_nm"],
            why=given["why"] or "cut off",
            by=by,
            kerf_nm=form.kerf_nm(),
        )
        return f"{length} of {piece.mark} is scrap."
    keep = piece.material.keep_from_nm
    by_hand.cut_by_hand(
        piece=piece,
        length_nm=given["length_nm"],
        kerf_nm=form.kerf_nm(),
        job=given["job"],
        why=given["why"],
        by=by,
        keep_from_nm=form.house.keep_from_nm if keep is None else keep,
    )
    piece.refresh_from_db()
    rest = "" if piece.on_hand else " What was left was too short to keep, so it is scrap."
    return f"{length} of {piece.mark} cut for {given['job']}.{rest}"


def part(piece: Piece, form: PartForm, by: Person) -> str:
    """In two."""
    given = form.cleaned_data
    new = by_hand.part(
        piece=piece, length_nm=given["length_nm"], kerf_nm=form.kerf_nm(), why=given["why"], by=by
    )
    marks = new.mark
    if piece.form == Form.SHEET:
        marks = " and ".join(piece.offcuts.order_by("-id").values_list("mark", flat=True)[:2])
    return f"{piece.mark} is parted. Paint {marks} on what was cut off."


def use(piece: Piece, form: UseForm, by: Person) -> str:
    """Wire or counted things."""
    given = form.cleaned_data
    by_hand.use(piece=piece, amount=given["amount"], job=given["job"], why=given["why"], by=by)
    used = amount_text(given["amount"], form=piece.form, system=form.house.system)
    return f"{used} of {piece.mark} used for {given['job']}."


def count(piece: Piece, form: CountForm, by: Person) -> str:
    """The difference, if there is one."""
    given = form.cleaned_data
    before = piece.on_hand
    act = by_hand.count_piece(piece=piece, counted=given["counted"], why=given["why"], by=by)
    if act is None:
        return f"{piece.mark} is as the books say."
    difference = abs(given["counted"] - before)
    word = "more" if given["counted"] > before else "less"
    told = amount_text(difference, form=piece.form, system=form.house.system)
    return f"{piece.mark} has {told} {word} than the books said; that is written down."


def scrap(piece: Piece, form: ScrapForm, by: Person) -> str:
    """Some of it or all of it."""
    amount = form.scrapped()
    if not piece.free:
        raise BadAmount(f"All of {piece.mark} is set aside. Change the plan first.")
    by_hand.scrap(piece=piece, amount=amount, why=form.cleaned_data["why"], by=by)
    told = amount_text(amount, form=piece.form, system=form.house.system)
    return f"{told} of {piece.mark} is scrap."


def send_back(piece: Piece, form: SendBackForm, by: Person) -> str:
    """To the supplier; says how far the credit is from the value."""
    given, amount = form.cleaned_data, form.scrapped()
    if not piece.free:
        raise BadAmount(f"All of {piece.mark} is set aside. Change the plan first.")
    before = piece.value_cents
    back = receiving.send_back(
        piece=piece,
        amount=amount,
        credit_cents=given["credit_cents"],
        why=given["why"],
        day=given["day"],
        by=by,
    )
    piece.refresh_from_db()
    told = amount_text(amount, form=piece.form, system=form.house.system)
    compared = credit_words(
        before - piece.value_cents,
        credit_cents=back.credit_cents,
        currency=form.house.currency,
        locale=form.house.locale,
    )
    return f"{told} of {piece.mark} went back to {back.line.purchase.supplier}, {compared}."


def measure(piece: Piece, form: MeasureForm, by: Person) -> str:
    """Rectangles with marks of their own, the rest scrap."""
    sizes = form.cleaned_data["sizes"]
    if [width * length for width, length in sizes] == [piece.length_nm * piece.width_nm]:
        raise BadAmount(f"{piece.mark} is as the books say; nothing was written down.")
    new = set_asides.remark_sheet(sheet=piece, sizes=sizes, by=by)
    if not new:
        return f"What was left of {piece.mark} is scrap."
    return f"Paint {', '.join(one.mark for one in new)} on what is left of {piece.mark}."


def put_away(piece: Piece, form: PlaceForm, by: Person) -> str:
    """Place and note."""
    by_hand.describe(piece=piece, **form.cleaned_data)
    return "Saved."


CUT = Act("cut", "Cut a length", CutForm, cut, "Cut it", "length_nm")
PART = Act("part", "Part it in two", PartForm, part, "Part it", "length_nm")
USE = Act("use", "Use some", UseForm, use, "Use it", "amount")
COUNT = Act("count", "Count it", CountForm, count, "Write it down", "counted")
WEIGH = Act("count", "Weigh the spool", CountForm, count, "Write it down", "counted")
MEASURE = Act("measure", "Measure what is left", MeasureForm, measure, "Mark these", "sizes")
SCRAP = Act("scrap", "Scrap it", ScrapForm, scrap, "Scrap it", "amount", is_grave=True)
SEND_BACK = Act(
    "send-back",
    "Send it back",
    SendBackForm,
    send_back,
    "Send it back",
    "amount",
    is_grave=True,
)
PLACE = Act("place", "Place and note", PlaceForm, put_away, "Save")


def acts_for(piece: Piece, *, sees_money: bool = False) -> tuple[Act, ...]:
    """What can be done to a piece as it stands, by somebody who sees money or not."""
    found = acts_by_form(piece)
    can_go_back = sees_money and piece.on_hand and receiving.line_of(piece) is not None
    return (*found[:-1], SEND_BACK, *found[-1:]) if can_go_back else found


def acts_by_form(piece: Piece) -> tuple[Act, ...]:
    """What can be done to a piece of its form; the likeliest first, its place last."""
    if not piece.on_hand:
        return () if piece.form == Form.SHEET else (COUNT,)
    if piece.form in LENGTH_FORMS:
        return (CUT, PART, COUNT, SCRAP, PLACE)
    if piece.form == Form.SHEET:
        is_whole = piece.on_hand == piece.length_nm * piece.width_nm
        return (PART, MEASURE, SCRAP, PLACE) if is_whole else (MEASURE, SCRAP, PLACE)
    return (USE, WEIGH if piece.form == Form.WIRE else COUNT, SCRAP, PLACE)
