"""Which blanks of the coming classes the rack cannot give, over all of them at once. Pure.

Blanks that the same metal can give are one group; the groups are laid out one after the other
on what is free, as planning itself does. A group that is short is then bought for together
with its cutting, so it keeps all bars that could serve it and later groups do without these.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shop.buying.facts import Asked, ClassNeed, OfferFacts
from shop.planning.cut_plan import CutPlan, FreePiece, Need, Part
from shop.planning.laying_out import Solvers, fits_section, grouped, laid_out, use_up

BAR, SHEET = "bar", "sheet"


@dataclass(frozen=True)
class Group:
    """Blanks of one kind, what is free for them, and who sells it."""

    needs: tuple[ClassNeed, ...]
    pieces: tuple[FreePiece, ...]
    offers: tuple[OfferFacts, ...]

    @property
    def kind(self) -> str:
        """Whether it is bought as bars, or as sheet and roll."""
        forms = {one.form for one in self.offers or self.pieces}
        return SHEET if forms and "flat" not in forms else BAR


@dataclass(frozen=True)
class ShortGroup:
    """A group that is short: what to cut, on which bars that are there, and for whom."""

    group: Group
    to_cut: tuple[Need, ...]  # bars: all of it but what sheets on the rack give
    bars: tuple[FreePiece, ...]  # on the rack, for the same saw cuts
    waiting: tuple[ClassNeed, ...]  # the blanks that nothing is left for

    @property
    def first(self) -> Need:
        """A blank of the group, for its alloy and section."""
        return self.group.needs[0].need


@dataclass(frozen=True)
class Taken:
    """Metal on the rack that a coming class will take once it is planned."""

    material_id: int
    class_id: int
    amount: int  # in the unit of the material's form


@dataclass(frozen=True)
class Shortages:
    """What is short, and what the classes take from the rack."""

    groups: tuple[ShortGroup, ...]
    taken: tuple[Taken, ...]


def shortages(asked: Asked, *, solvers: Solvers) -> Shortages:
    """What the rack cannot give, over all coming classes.

    Args:
        asked: blanks, free pieces and offers.
        solvers: for bars and for sheets.

    Returns:
        Groups that are short, in the order in which planning takes them, and what every class
        takes from the rack.
    """
    free = {piece.piece_id: piece for piece in asked.pieces}
    short: list[ShortGroup] = []
    taken: list[Taken] = []
    classes = {one.need.key: one.class_id for one in asked.needs}
    for group in groups(asked):
        found = [free[one.piece_id] for one in group.pieces if one.piece_id in free]
        needs = [one.need for one in group.needs]
        plan = laid_out(needs, pieces=found, kerf_nm=asked.kerf_nm, solvers=solvers)
        taken += [one for part in plan.parts for one in taken_by(part, free, classes)]
        if plan.short:
            one = short_group(group, plan, found)
            short.append(one)
            for bar in one.bars:
                free.pop(bar.piece_id, None)
        for part in plan.parts:
            is_claimed = plan.short and group.kind == BAR and part.form == BAR
            if not is_claimed:
                use_up(free, part)
    return Shortages(tuple(short), tuple(taken))


def groups(asked: Asked) -> list[Group]:
    """Blanks that the same pieces and offers can give, together; wide ones first."""
    by_key = {one.need.key: one for one in asked.needs}
    merged: dict[tuple[object, ...], Group] = {}
    for like in grouped([one.need for one in asked.needs]):
        first = like[0]
        pieces = tuple(one for one in asked.pieces if fits_section(first, one))
        offers = tuple(one for one in asked.offers if fits_section(first, one.as_piece()))
        key: tuple[object, ...] = (pieces, offers) if pieces or offers else (first,)
        before = merged[key].needs if key in merged else ()
        needs = (*before, *(by_key[need.key] for need in like))
        order = {one.need.key: number for number, one in enumerate(asked.needs)}
        in_order = tuple(sorted(needs, key=lambda one: order[one.need.key]))
        merged[key] = Group(in_order, pieces, offers)
    return list(merged.values())


def short_group(group: Group, plan: CutPlan, found: Sequence[FreePiece]) -> ShortGroup:
    """What is still to be found for a group, and the bars that may serve it."""
    waiting_keys = {key for one in plan.short for key in one.needs}
    waiting = tuple(one for one in group.needs if one.need.key in waiting_keys)
    if group.kind == SHEET:
        return ShortGroup(group, tuple(one.need for one in waiting), (), waiting)
    sheared = {
        cut.need
        for part in plan.parts
        if part.form != BAR
        for piece in part.pieces
        for cut in piece.cuts
    }
    to_cut = tuple(one.need for one in group.needs if one.need.key not in sheared)
    shortest_nm = min(need.length_nm for need in to_cut)
    bars = tuple(one for one in found if one.form == "flat" and one.length_nm >= shortest_nm)
    return ShortGroup(group, to_cut, bars, waiting)


def taken_by(part: Part, free: dict[int, FreePiece], classes: dict[str, int]) -> list[Taken]:
    """What one part takes from each piece, booked to the class of the piece's first blank."""
    found = []
    for piece in part.pieces:
        if piece.form == "sheet":
            amount = piece.width_nm * piece.before_nm
        elif piece.strip_nm:
            amount = piece.strip_nm
        else:
            amount = piece.before_nm - piece.left_nm
        material_id = free[piece.piece_id].material_id
        found.append(Taken(material_id, classes[piece.cuts[0].need], amount))
    return found
