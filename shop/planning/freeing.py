"""Metal of a class let go: by planning again, by a seat that changes, when the class is over.

Part of `shop.planning.writing`, which has these. Freed set-asides stay, with when and why.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from django.db.models import Max

from billets.models import Blank
from shop.models import ForgeClass
from shop.planning import metal
from stock.ledger import freeing, set_asides
from stock.models import SetAside

Freed = SetAside.Freed


def let_go(
    forge_class: ForgeClass, *, jobs: Collection[str] | None = None, is_all: bool = False,
    why: SetAside.Freed = Freed.PLAN,
) -> int:  # fmt: skip
    """Free what stands for a class; tells how many.

    Args:
        forge_class: whose.
        jobs: only the blanks of these billets.
        is_all: also what stands on part-cut sheets, which planning again would leave there.
        why: kept with what is freed.
    """
    rows = SetAside.objects.filter(
        plan=forge_class.plan_key, state=SetAside.State.STANDING
    ).select_related("piece__material")
    free = [
        row.pk
        for row in rows
        if (is_all or not metal.is_fixed(row)) and (jobs is None or row.job in jobs)
    ]
    if is_all:
        forget_freed(forge_class, jobs=jobs)
    return free_rows(free, why=why)


def forget_freed(forge_class: ForgeClass, *, jobs: Collection[str] | None) -> None:
    """Metal that failed billets let go is not theirs to take back once the plan is closed."""
    rows = SetAside.objects.filter(plan=forge_class.plan_key, state=SetAside.State.FREED)
    if jobs is not None:
        rows = rows.filter(job__in=jobs)
    Blank.objects.filter(set_aside__in=rows).update(set_aside=None)


def free_rows(ids: Sequence[int], *, why: SetAside.Freed = Freed.PLAN) -> int:
    """Free set-asides and let their blanks forget them."""
    count = set_asides.free(ids=ids, why=why)
    Blank.objects.filter(set_aside_id__in=ids, set_aside__state=SetAside.State.FREED).update(
        set_aside=None
    )
    return count


def take_back(forge_class: ForgeClass) -> int:
    """Set aside again what the end of a class freed, where it is still free; tells how many.

    Billets that failed since are left out, and so are blanks whose metal was freed before.
    """
    wanting = {
        f"{seat.billet.mark}-{blank.position + 1}": blank
        for seat in metal.active_seats(forge_class)
        if seat.billet is not None and not metal.has_failed(seat)
        for blank in metal.blanks_by_position(seat).values()
        if blank.set_aside_id is None
    }
    rows = SetAside.objects.filter(plan=forge_class.plan_key, label__in=wanting)
    latest = rows.values("label").annotate(last=Max("pk")).values_list("last", flat=True)
    freed = SetAside.objects.filter(
        pk__in=list(latest), state=SetAside.State.FREED, freed_why=Freed.OVER
    )
    labels = dict(freed.values_list("pk", "label"))
    stood = freeing.stand_again(ids=list(labels))
    for pk in stood:
        blank = wanting[labels[pk]]
        blank.set_aside_id = pk
        blank.save(update_fields=["set_aside"])
    return len(stood)
