"""Is a cut plan right? Worked out again from the case alone, in whole numbers.

Nothing here uses what the solvers use, so that a mistake there cannot hide here. It says what is
wrong in sentences; it says nothing about whether a better plan exists.
Exceptions: BadCase (what was asked makes no sense), PlanFault (the answer is wrong).
"""

from collections import Counter
from fractions import Fraction

from stock.cutting.plans.check_sheets import sheet_faults
from stock.cutting.plans.plan import BarCase, BarPlan, Case, CutBar, Plan, SheetCase, SheetPlan


class BadCase(ValueError):
    """A case with a number that makes no sense; `.given` and `.what` say which."""

    def __init__(self, what: str, given: int, limit: str) -> None:
        self.what, self.given = what, given
        super().__init__(f"The {what} is {given}; it must be {limit}.")


class PlanFault(Exception):
    """A plan that does not follow from its case; `.faults` are the sentences."""

    def __init__(self, name: str, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__(f"Plan {name!r} is wrong: " + " ".join(faults))


def sound(case: BarCase) -> BarCase:
    """The case itself, when its numbers make sense.

    Args:
        case: lengths [nm] above 0, counts 0 or more, kerf, keep length and prices 0 or more.

    Returns:
        The same case.

    Raises:
        BadCase: the first number that makes no sense.
    """
    for what, given in (
        ("kerf", case.kerf_nm),
        ("keep length", case.keep_from_nm),
        ("reference length", case.reference_nm),
        *(("price of an offer", offer.price_cents) for offer in case.offers),
        *(("count of bars", bar.count) for bar in case.on_hand),
        *(("count of pieces", piece.count) for piece in case.pieces),
    ):
        if given < 0:
            raise BadCase(what, given, "0 or more")
    for length in (*_bar_lengths(case), *(piece.length_nm for piece in case.pieces)):
        if length <= 0:
            raise BadCase("length of a bar or piece [nm]", length, "above 0")
    return case


def certain(case: BarCase, plan: BarPlan) -> BarPlan:
    """The plan itself, when nothing is wrong with it.

    Args:
        case: what was asked.
        plan: the answer.

    Returns:
        The same plan.

    Raises:
        PlanFault: something is wrong; it says what.
    """
    found = faults(case, plan)
    if found:
        raise PlanFault(plan.name, found)
    return plan


def faults(case: Case, plan: Plan) -> tuple[str, ...]:
    """Everything that is wrong with a plan, one sentence each.

    Args:
        case: what was asked, bars or sheets [nm, cents].
        plan: the answer to it.

    Returns:
        Sentences; empty when the plan can be cut as it stands and its figures are right.
    """
    if isinstance(case, SheetCase) and isinstance(plan, SheetPlan):
        return sheet_faults(case, plan)
    if isinstance(case, BarCase) and isinstance(plan, BarPlan):
        return (
            *_cutting_faults(case, plan),
            *_source_faults(case, plan),
            *_piece_faults(case, plan),
            *_figure_faults(case, plan),
        )
    return ("The plan is for another kind of case.",)


def _cutting_faults(case: BarCase, plan: BarPlan) -> list[str]:
    found = []
    for number, bar in enumerate(plan.bars):
        if not bar.cuts:
            found.append(f"Bar {number} ({bar.length_nm} nm) is used but not cut.")
        elif _needed(bar, case.kerf_nm) > bar.length_nm:
            found.append(
                f"Bar {number} is {bar.length_nm} nm long; its cuts need "
                f"{_needed(bar, case.kerf_nm)} nm with the kerf between them."
            )
    return found


def _needed(bar: CutBar, kerf: int) -> int:
    return sum(bar.cuts) + kerf * (len(bar.cuts) - 1)


def _source_faults(case: BarCase, plan: BarPlan) -> list[str]:
    found = []
    have: Counter[int] = Counter()
    for stocked in case.on_hand:
        have[stocked.length_nm] += stocked.count
    offered = {offer.length_nm for offer in case.offers}
    used = Counter(bar.length_nm for bar in plan.bars if bar.source == "on_hand")
    for length, n in used.items():
        if n > have[length]:
            found.append(f"{n} bars of {length} nm are cut; {have[length]} are on hand.")
    for number, bar in enumerate(plan.bars):
        if bar.source not in ("on_hand", "offer"):
            found.append(f"Bar {number} comes from {bar.source!r}, which is no source.")
        if bar.source == "offer" and bar.length_nm not in offered:
            found.append(f"Bar {number} of {bar.length_nm} nm is not on offer.")
    return found


def _piece_faults(case: BarCase, plan: BarPlan) -> list[str]:
    wanted: Counter[int] = Counter()
    for piece in case.pieces:
        wanted[piece.length_nm] += piece.count
    cut = Counter(length for bar in plan.bars for length in bar.cuts)
    short: Counter[int] = Counter()
    for piece in plan.short:
        short[piece.length_nm] += piece.count
    return [
        f"{wanted[length]} pieces of {length} nm are wanted; "
        f"{cut[length]} are cut and {short[length]} are said to be short."
        for length in sorted(wanted.keys() | cut.keys() | short.keys())
        if wanted[length] != cut[length] + short[length]
    ]


def _figure_faults(case: BarCase, plan: BarPlan) -> list[str]:
    found = []
    spent = spent_cents(case, plan.bars)
    if spent is not None and plan.spent_cents != spent:
        found.append(f"The bars cost {spent} cents; the plan says {plan.spent_cents}.")
    loss = lost_worth(case, plan.bars)
    if not plan.loss <= loss < plan.loss + 1:
        found.append(f"The rack loses {float(loss)} nm of worth; the plan says {plan.loss}.")
    if plan.spent_at_least > plan.spent_cents:
        found.append(f"{plan.spent_at_least} cents cannot be a bound on {plan.spent_cents}.")
    if plan.loss_at_least > plan.loss:
        found.append(f"A loss of {plan.loss_at_least} cannot be a bound on {plan.loss}.")
    is_met = plan.spent_at_least == plan.spent_cents and plan.loss_at_least == plan.loss
    if plan.proved and not is_met:
        found.append("The plan says proved, but a bound is not met.")
    return found


def spent_cents(case: BarCase, bars: tuple[CutBar, ...]) -> int | None:
    """What the bars on offer cost, each at its lowest price.

    Args:
        case: offers [nm, cents].
        bars: the bars of a plan.

    Returns:
        Cents; None when a bar is not on offer at all.
    """
    prices: dict[int, int] = {}
    for offer in case.offers:
        known = prices.get(offer.length_nm, offer.price_cents)
        prices[offer.length_nm] = min(known, offer.price_cents)
    bought = [prices.get(bar.length_nm) for bar in bars if bar.source == "offer"]
    return None if None in bought else sum(price for price in bought if price is not None)


def lost_worth(case: BarCase, bars: tuple[CutBar, ...]) -> Fraction:
    """Worth of the rack before, less its worth after, exactly [nm].

    Args:
        case: keep length and reference [nm].
        bars: the bars of a plan; a bought bar was not on the rack before.

    Returns:
        The loss; below 0 when what is left of bought bars is worth more than what went.
    """
    reference = case.reference_nm or max(_bar_lengths(case), default=1)

    def worth(length: int) -> Fraction:
        if length < case.keep_from_nm:
            return Fraction(0)
        return Fraction(length) + Fraction(length * length, 2 * reference)

    before = sum((worth(bar.length_nm) for bar in bars if bar.source == "on_hand"), Fraction(0))
    after = sum(
        (
            worth(max(0, bar.length_nm - sum(bar.cuts) - case.kerf_nm * len(bar.cuts)))
            for bar in bars
        ),
        Fraction(0),
    )
    return before - after


def _bar_lengths(case: BarCase) -> list[int]:
    hand = [bar.length_nm for bar in case.on_hand if bar.count > 0]
    return hand + [offer.length_nm for offer in case.offers]
