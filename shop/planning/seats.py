"""The seats of a class and their metal: who is there, which layup, how far each billet is."""

from __future__ import annotations

from collections.abc import Sequence

from django.db.models import OuterRef, Prefetch, QuerySet, Subquery

from billets.layup import design as layup_design
from billets.layup import stack
from billets.models import Blank, Step, StepKind
from shop.models import ForgeClass, Seat


def active_seats(forge_class: ForgeClass) -> list[Seat]:
    """Students first, then spares, with their layers and blanks; cancelled seats are left out."""
    rows = forge_class.seats.filter(is_cancelled=False)
    return list(with_metal(rows).order_by("is_spare", "number"))


def seats_by_class(classes: Sequence[ForgeClass]) -> dict[int, list[Seat]]:
    """The seats of several classes, read at once; each as `active_seats` has them."""
    found: dict[int, list[Seat]] = {row.pk: [] for row in classes}
    rows = Seat.objects.filter(forge_class__in=classes, is_cancelled=False)
    for seat in with_metal(rows).order_by("is_spare", "number"):
        found[seat.forge_class_id].append(seat)
    return found


def design_of(seat: Seat) -> layup_design.Design:
    """The design that a seat's billet is made to: the billet's own copy once there is one."""
    return seat.billet.design() if seat.billet else seat_design(seat)


def seat_design(seat: Seat) -> layup_design.Design:
    """What a seat asks for: its own layup or the class's, with its own blank size if set."""
    design = seat.layup_used.design()
    return stack.with_blank(
        design,
        length_nm=seat.blank_length_nm or design.blank_length_nm,
        width_nm=seat.blank_width_nm or design.blank_width_nm,
    )


def is_behind(seat: Seat) -> bool:
    """Whether a seat's billet was made to another design than the seat now asks for."""
    return seat.billet is not None and seat.billet.design() != seat_design(seat)


def stage_of(seat: Seat) -> StepKind:
    """How far a seat's billet is. Seats are read `with_metal`."""
    return StepKind(getattr(seat, "billet_reached", None) or StepKind.PLANNED)


def is_uncut(seat: Seat) -> bool:
    """Whether a seat's billet is not begun: no blank of it is cut, and it did not fail."""
    return not has_failed(seat) and not any(
        blank.is_cut for blank in blanks_by_position(seat).values()
    )


def has_failed(seat: Seat) -> bool:
    """Whether a seat's billet failed: it is planned no further. Seats are read `with_metal`."""
    return stage_of(seat) == StepKind.FAILED


def with_metal(seats: QuerySet[Seat]) -> QuerySet[Seat]:
    """Seats read at once with layups, billets, how far these are, blanks and their metal."""
    steps = Step.objects.filter(billet=OuterRef("billet"), undoes=None, undone_by=None)
    seats = seats.annotate(billet_reached=Subquery(steps.order_by("-id").values("kind")[:1]))
    return seats.select_related("layup", "forge_class__layup", "billet__layup").prefetch_related(
        "layup__layers",
        "forge_class__layup__layers",
        Prefetch("billet__blanks", blanks_with_metal()),
    )


def blanks_by_position(seat: Seat) -> dict[int, Blank]:
    """The blanks of a seat's billet, if it has one."""
    if seat.billet is None:
        return {}
    return {blank.position: blank for blank in seat.billet.blanks.all()}


def blanks_with_metal() -> QuerySet[Blank]:
    """Blanks read in one query with the pieces that they are cut from.

    Joined, not prefetched: a prefetch asks for each set-aside by a condition of its own, and
    SQLite takes no more than a thousand of these.
    """
    return Blank.objects.select_related("set_aside__piece__material")
