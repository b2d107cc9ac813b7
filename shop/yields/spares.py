"""How many billets to make so that enough turn out sound.

The shop's own record of like billets is the whole evidence (record.py): a beta-binomial,
so that a short record asks for many spares instead of giving a sure answer. Standard library
only.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log, log1p

from shop.yields.beta import log_beta, log_choose
from shop.yields.record import Record, YieldsError, record_words

MOST_BILLETS = 500  # a smith who needs more than this has another problem
FEW_ROWS = 10  # of it on a phone
PLAUSIBLE = 3  # times the billets needed: more is no plan but a short record (our own threshold)
GUESSES = (70, 80, 90, 95)  # per cent sound


@dataclass(frozen=True)
class Chance:
    """Make so many: the probability of enough sound ones, and what this one more costs."""

    billets: int
    probability: float
    adds: float  # to the probability, over one fewer
    cost_cents: int


@dataclass(frozen=True)
class Guess:
    """If this share of billets turned out sound, so many would be enough."""

    percent: int
    billets: int


@dataclass(frozen=True)
class Spares:
    """How many to make. `billets` is None when not even MOST_BILLETS are enough."""

    needed: int
    confidence: float
    billets: int | None
    probability: float  # of enough sound ones with that many, or with the most tried
    table: tuple[Chance, ...]
    words: str
    is_short: bool = False  # the record it rests on

    @property
    def spares(self) -> int | None:
        """Billets beyond those needed."""
        return None if self.billets is None else self.billets - self.needed

    @property
    def is_plan(self) -> bool:
        """Whether a shop could make so many; otherwise its record is too short to say."""
        few = PLAUSIBLE * self.needed
        return self.billets is not None and (not self.is_short or self.billets <= few)

    def few_rows(self, *, also: int) -> tuple[Chance, ...]:
        """Rows of the table for a small screen: evenly spaced, with the answer and `also`."""
        step = -(-len(self.table) // FEW_ROWS)
        last = len(self.table) - 1
        return tuple(
            row
            for number, row in enumerate(self.table)
            if number % step == 0 or number == last or row.billets in (self.billets, also)
        )


def at_least_sound(needed: int, *, billets: int, record: Record) -> float:
    """Probability of at least so many sound billets, from the shop's record.

    Args:
        needed: sound billets wanted, 0 or more.
        billets: billets made, 0 or more.
        record: outcomes of like billets.

    Returns:
        Probability, 0 to 1.

    Raises:
        YieldsError: a count is below 0.

    Source:
        Beta-binomial distribution, posterior predictive of a Jeffreys prior; any text on
        Bayesian statistics.
    """
    a, b = record.beta

    def log_term(k: int) -> float:
        return log_choose(billets, k=k) + log_beta(k + a, b=billets - k + b) - log_beta(a, b=b)

    return _upper_tail(needed, billets, log_term)


def at_least_sound_at(needed: int, *, billets: int, share: float) -> float:
    """Probability of at least so many sound billets when the yield is taken as known.

    Args:
        needed: sound billets wanted, 0 or more.
        billets: billets made, 0 or more.
        share: the yield, 0 to 1; a guess, where there is no record.

    Returns:
        Probability, 0 to 1. It is too sure of itself by as much as the yield is unsure.

    Raises:
        YieldsError: a count is below 0 or the share outside 0 to 1.
    """
    if not 0 <= share <= 1:
        raise YieldsError(
            f"A yield of {share:g} was given; write a share from 0 to 1.", given=share
        )
    if share in (0, 1):
        return float(needed <= billets * share)

    def log_term(k: int) -> float:
        return log_choose(billets, k=k) + k * log(share) + (billets - k) * log1p(-share)

    return _upper_tail(needed, billets, log_term)


def guesses(needed: int, *, confidence: float) -> tuple[Guess, ...]:
    """How many would be enough at a yield that is guessed, for a shop without a record.

    Args:
        needed: sound billets wanted, 1 or more.
        confidence: probability wanted, above 0 and below 1.

    Returns:
        One answer for each of GUESSES, the worst yield first.

    Raises:
        YieldsError: a figure is outside its limits.
    """
    _refuse_bad_wish(needed, confidence, 0)
    found = []
    for percent in GUESSES:
        billets = needed
        while at_least_sound_at(needed, billets=billets, share=percent / 100) < confidence:
            billets += 1
        found.append(Guess(percent, billets))
    return tuple(found)


def spares(
    needed: int,
    *,
    record: Record,
    confidence: float,
    cost_cents: int = 0,
    rows: int = 6,
    upto: int = 0,
) -> Spares:
    """The smallest number of billets that gives enough sound ones with the chosen confidence.

    Args:
        needed: sound billets wanted, 1 or more.
        record: outcomes of like billets.
        confidence: probability wanted, above 0 and below 1.
        cost_cents: cost of one billet made [minor units], 0 or more.
        rows: rows of the table after the first, 1 or more.
        upto: a number of billets that the table must hold, such as those planned.

    Returns:
        The number, the table from `needed` on with the cost of each one more, and a sentence
        that says how much record this rests on. No number is given when more than
        MOST_BILLETS would be needed.

    Raises:
        YieldsError: a figure is outside its limits.
    """
    _refuse_bad_wish(needed, confidence, cost_cents)
    billets, probability = _smallest(needed, record, confidence)
    most = PLAUSIBLE * needed if record.is_small or billets is None else billets
    last = max(needed + rows, min(billets or most, most) + 1)
    return Spares(
        needed=needed,
        confidence=confidence,
        billets=billets,
        probability=probability,
        table=chances(
            needed,
            record=record,
            upto=max(last, min(upto, MOST_BILLETS)),
            cost_cents=cost_cents,
        ),
        words=record_words(record),
        is_short=record.is_small,
    )


def chances(needed: int, *, record: Record, upto: int, cost_cents: int = 0) -> tuple[Chance, ...]:
    """The probability of enough sound billets for each number made.

    Args:
        needed: sound billets wanted, 1 or more; the table begins there.
        record: outcomes of like billets.
        upto: last number in the table, at least `needed`.
        cost_cents: cost of one billet made [minor units], 0 or more.

    Returns:
        One row for each number; the first adds its whole probability.

    Raises:
        YieldsError: a figure is outside its limits.
    """
    _refuse_bad_wish(needed, 0.5, cost_cents)
    rows = []
    before = 0.0
    for billets in range(needed, upto + 1):
        probability = at_least_sound(needed, billets=billets, record=record)
        rows.append(Chance(billets, probability, probability - before, billets * cost_cents))
        before = probability
    return tuple(rows)


def _smallest(needed: int, record: Record, confidence: float) -> tuple[int | None, float]:
    # the probability grows with the number made, so the answer can be halved towards
    low, high = needed, max(needed, MOST_BILLETS)
    most = at_least_sound(needed, billets=high, record=record)
    if most < confidence:
        return None, most
    while low < high:
        middle = (low + high) // 2
        if at_least_sound(needed, billets=middle, record=record) >= confidence:
            high = middle
        else:
            low = middle + 1
    return low, at_least_sound(needed, billets=low, record=record)


def _refuse_bad_wish(needed: int, confidence: float, cost_cents: int) -> None:
    if needed < 1:
        raise YieldsError(
            f"{needed} sound billets were asked for; ask for at least 1.", given=needed
        )
    if not 0 < confidence < 1:
        raise YieldsError(
            f"A confidence of {confidence:g} was given; nothing is certain: write one above 0 "
            "and below 1, such as 0.9.",
            given=confidence,
        )
    if cost_cents < 0:
        raise YieldsError(
            f"A billet's cost was given as {cost_cents}; it cannot be below 0.", given=cost_cents
        )


def _upper_tail(needed: int, billets: int, log_term: Callable[[int], float]) -> float:
    if needed < 0 or billets < 0:
        raise YieldsError(
            f"{needed} sound of {billets} billets was asked for; neither can be below 0.",
            given=(needed, billets),
        )
    if needed == 0:
        return 1.0
    if needed > billets:
        return 0.0
    upper = sum(exp(log_term(k)) for k in range(needed, billets + 1))
    return min(1.0, upper)


USUAL_CONFIDENCE = 0.9


@dataclass(frozen=True)
class SparesView:
    """What the page says about spares: the advice, what the planned ones do, guesses beside."""

    advice: Spares
    record: Record
    kind_words: str
    planned: int  # billets, spares and all
    planned_probability: float
    guesses: tuple[Guess, ...]  # where the record is short

    @property
    def rows(self) -> tuple[Chance, ...]:
        """Rows of the table that are shown."""
        return self.advice.few_rows(also=self.planned)


def spares_view(
    seat_count: int,
    *,
    planned: int,
    record: Record,
    kind_words: str,
    confidence_percent: int,
    cents: int,
) -> SparesView | None:
    """The advice for a class by its record of like billets.

    Args:
        seat_count: students who are to get a sound billet, 0 or more.
        planned: billets that the class makes, spares and all.
        record: how like billets turned out.
        kind_words: what makes them alike, in words.
        confidence_percent: how sure the shop wants to be [%], above 0 and below 100.
        cents: what one more spare adds [minor units], 0 or more.

    Returns:
        What the page says about spares; none where the class has no seat.
    """
    if seat_count < 1:
        return None
    confidence = confidence_percent / 100
    return SparesView(
        advice=spares(
            seat_count, record=record, confidence=confidence, cost_cents=cents, upto=planned
        ),
        record=record,
        kind_words=kind_words,
        planned=planned,
        planned_probability=at_least_sound(seat_count, billets=planned, record=record),
        guesses=guesses(seat_count, confidence=confidence) if record.is_small else (),
    )


def spares_hint(seat_count: int, *, record: Record) -> str:
    """What the record advises, in a sentence for the form of a class; it has no money in it.

    Args:
        seat_count: seats of the class, 0 or more.
        record: how like billets turned out.

    Returns:
        One or two sentences; nothing where the class has no seat.
    """
    if seat_count < 1:
        return ""
    found = spares(seat_count, record=record, confidence=USUAL_CONFIDENCE)
    if found.spares is None or not found.is_plan:
        return found.words
    return (
        f"For nine chances in ten that all {seat_count} students get a sound billet, the "
        f"shop’s own record asks for {found.spares}. {found.words}"
    )
