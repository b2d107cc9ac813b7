"""The metal of a billet that failed before it was wholly cut: freed, and taken back if it can be.

Used by `billets.history.writing` inside its transactions. A blank keeps the set-aside that was
freed until the failure is undone or the plan is closed, so that the same metal can be asked for
again.
"""

from __future__ import annotations

from collections.abc import Sequence

from billets.models import Billet, Blank
from stock.ledger import freeing
from stock.models import SetAside


def hold_metal(billet: Billet) -> None:
    """Lock a billet's pieces before the billet itself, as a tick of its cuts does."""
    freeing.hold_job(job=billet.job)


def let_metal_go(billet: Billet) -> int:
    """Free what is set aside for it and not cut; tells how many blanks."""
    return freeing.free_job(job=billet.job)


def take_metal_back(billet: Billet) -> str:
    """Set aside again what was freed, where it is still free; says in words what came of it."""
    freed = [blank for blank in uncut(billet) if blank.set_aside_id and not blank.has_metal]
    stood = freeing.stand_again(ids={blank.set_aside_id or 0 for blank in freed})
    lost = [blank for blank in freed if blank.set_aside_id not in stood]
    Blank.objects.filter(pk__in=[blank.pk for blank in lost]).update(set_aside=None)
    return words(again=len(stood), bare=[blank for blank in uncut(billet) if not blank.has_metal])


def uncut(billet: Billet) -> list[Blank]:
    """Its blanks that are not cut, from the bottom up."""
    rows = billet.blanks.select_related("set_aside").order_by("position")
    return [blank for blank in rows if not blank.is_cut]


def words(*, again: int, bare: Sequence[Blank]) -> str:
    """What stands set aside again, and which layers must be planned anew."""
    told = []
    if again:
        told.append(f"{again} {'blank is' if again == 1 else 'blanks are'} set aside again.")
    if len(bare) == 1:
        number = bare[0].position + 1
        told.append(f"Layer {number} has no metal set aside now; plan it again.")
    elif bare:
        *layers, last = [str(blank.position + 1) for blank in bare]
        named = f"{', '.join(layers)} and {last}"
        told.append(f"Layers {named} have no metal set aside now; plan them again.")
    return " ".join(told)


def freed_words(billet: Billet) -> str:
    """What its failure freed, in a sentence to follow another; empty where everything was cut."""
    count = billet.blanks.filter(set_aside__state=SetAside.State.FREED).count()
    if count == 0:
        return ""
    blanks = "1 blank that was" if count == 1 else f"{count} blanks that were"
    return f" The metal of {blanks} not cut is free again."


def undone_words(billet: Billet) -> str:
    """What the last undoing said of its metal; empty where there was nothing to say."""
    last = billet.steps.exclude(undoes=None).order_by("-id").first()
    return last.note if last else ""


def freed_cuts(billet: Billet) -> list[SetAside]:
    """Cuts of it that were set aside once and let go, the latest first, with when and why."""
    rows = SetAside.objects.filter(job=billet.job, state=SetAside.State.FREED)
    rows = rows.filter(kind=SetAside.Kind.BLANK).exclude(freed_at=None)
    return list(rows.select_related("piece").order_by("-freed_at", "label"))
