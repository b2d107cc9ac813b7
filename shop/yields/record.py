"""What the shop's own outcomes say about the share of billets that turn out sound.

A Jeffreys prior and nothing else beside the record, so that a short record gives a wide
interval instead of a sure figure. It leaves out which billets are alike.
"""

from dataclasses import dataclass
from fractions import Fraction

from shop.yields.beta import beta_quantile

SMALL_RECORD = 20  # fewer billets than this: say how few (our own threshold)
PRIOR = Fraction(1, 2)  # Jeffreys prior of a proportion (1946): Beta(1/2, 1/2)


class YieldsError(ValueError):
    """A record or a wish that cannot be; the text is the sentence for the user."""

    def __init__(self, sentence: str, *, given: object = None) -> None:
        super().__init__(sentence)
        self.given = given


@dataclass(frozen=True)
class Record:
    """Billets of like layups with a known outcome: so many sound of so many made."""

    sound: int = 0
    made: int = 0

    def __post_init__(self) -> None:
        if not 0 <= self.sound <= self.made:
            raise YieldsError(
                f"{self.sound} sound of {self.made} made cannot be; "
                "give no more sound billets than were made.",
                given=(self.sound, self.made),
            )

    @property
    def share(self) -> Fraction:
        """Expected share of sound billets: mean of the posterior."""
        return (self.sound + PRIOR) / (self.made + 2 * PRIOR)

    @property
    def is_small(self) -> bool:
        """Whether the record is too short to lean on."""
        return self.made < SMALL_RECORD

    @property
    def beta(self) -> tuple[float, float]:
        """Parameters of the posterior beta distribution of the share."""
        return float(self.sound + PRIOR), float(self.made - self.sound + PRIOR)


def share_interval(record: Record, *, confidence: float = 0.9) -> tuple[Fraction, Fraction]:
    """Equal-tailed interval of the yield.

    Args:
        record: outcomes of like billets.
        confidence: probability inside the interval, above 0 and below 1.

    Returns:
        Lower and upper end, each within 1e-6, above 0 and at most 1. As is usual with this
        prior, the lower end is 0 when none was sound and the upper end 1 when all were; the
        lower is then given as one in a million, so that a cost can be divided by it.

    Raises:
        YieldsError: the confidence is outside its limits.

    Source:
        Jeffreys interval: Brown, Cai & DasGupta, "Interval estimation for a binomial
        proportion", Statistical Science 16 (2001).
    """
    if not 0 < confidence < 1:
        raise YieldsError(
            f"A confidence of {confidence:g} was given; write one above 0 and below 1.",
            given=confidence,
        )
    a, b = record.beta
    tail = (1 - confidence) / 2
    low = 0.0 if record.sound == 0 else beta_quantile(tail, a=a, b=b)
    high = 1.0 if record.sound == record.made else beta_quantile(1 - tail, a=a, b=b)
    million = 1_000_000
    return Fraction(max(1, round(low * million)), million), Fraction(round(high * million), million)


def record_words(record: Record, *, confidence: float = 0.9) -> str:
    """How much the record says, in a sentence.

    Args:
        record: outcomes of like billets.
        confidence: probability inside the interval that is told, above 0 and below 1.

    Returns:
        A sentence that hides neither a short record nor a wide interval.

    Raises:
        YieldsError: the confidence is outside its limits.
    """
    if record.made == 0:
        return (
            "No like billet has a recorded outcome yet, so this is a guess and asks for many "
            "spares. Record how each billet turned out and it will settle."
        )
    low, high = share_interval(record, confidence=confidence)
    range_words = f"between {_percent(low)} and {_percent(high)}"
    counted = f"{record.sound} of {record.made} like billets were sound"
    if record.is_small:
        few = "Only one like billet is" if record.made == 1 else f"Only {record.made} are"
        return (
            f"{few} on record ({record.sound} sound), which says little: the true share may "
            f"lie anywhere {range_words}."
        )
    return f"{counted}; the true share probably lies {range_words}."


def _percent(share: Fraction) -> str:
    return f"{round(float(share) * 100)} %"
