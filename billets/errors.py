"""What the metalwork refuses, with its facts.

    ForgingError (ValueError)
    ├── HeatError          a temperature, a thickness or a window that no sum can answer
    ├── DrawOutError       a size that the metal cannot become
    └── CalibrationError   measured billets that say nothing

Each keeps its facts as attributes in millimetres and °C and builds its sentence in the shop's
own units with `sentence(system)`; `str(error)` is the metric sentence. Leaves out everything
about typed text, which is `stock.quantities.units`'s to refuse.
"""

import math
from collections.abc import Callable, Mapping

from stock.quantities.units import length_text, temperature_text

NM_PER_MM = 1_000_000
_LONGEST_SAID = 1e12  # past this, and for what is no number, the bare figure is said


def nm_from_mm(mm: float) -> int:
    """The whole nanometres nearest to a length worked out in millimetres.

    Args:
        mm: length [mm].

    Returns:
        Length [nm], rounded half to even.
    """
    return round(mm * NM_PER_MM)


def length_words(mm: float, *, system: str, rounded: Callable[[float], int] = round) -> str:
    """A worked-out length as the shop says it: thousandths of an inch, or hundredths of a mm.

    Args:
        mm: length [mm].
        system: "inch" or "metric".
        rounded: `round`; `math.floor` for a limit not to pass, `math.ceil` for one to reach.

    Returns:
        Text with its unit; rounded to 0.001 in or 0.01 mm first, since a worked-out length
        is never exact.

    Source:
        Common practice for measured sizes.
    """
    if not abs(mm) < _LONGEST_SAID:
        return f"{mm:g} mm"
    step_nm = 25_400 if system == "inch" else 10_000
    nm = rounded(mm * NM_PER_MM / step_nm) * step_nm
    return length_text(nm, system=system, style="thou" if system == "inch" else "plain")


def temperature_words(celsius: float, *, system: str) -> str:
    """A temperature in both scales, the shop's first.

    Args:
        celsius: temperature [°C]; what is no number is said as it is.
        system: "inch" (°F first) or "metric" (°C first).

    Returns:
        Such as "1800 °F · 982 °C".
    """
    if not abs(celsius) < _LONGEST_SAID:
        return f"{celsius:g} °C"
    return temperature_text(round(celsius * 1000), first="F" if system == "inch" else "C")


class ForgingError(ValueError):
    """A case that is refused, with what was given and the limits it ran into.

    `at_most_mm` and `at_least_mm` are limits, rounded to the side that is accepted when typed in.
    """

    def __init__(
        self,
        template: str,
        *,
        lengths_mm: Mapping[str, float] | None = None,
        at_most_mm: Mapping[str, float] | None = None,
        at_least_mm: Mapping[str, float] | None = None,
        temperatures_c: Mapping[str, float] | None = None,
        plain: Mapping[str, str] | None = None,
    ) -> None:
        self.template = template
        self.lengths_mm = dict(lengths_mm or {})
        self.at_most_mm = dict(at_most_mm or {})
        self.at_least_mm = dict(at_least_mm or {})
        self.temperatures_c = dict(temperatures_c or {})
        self.plain = dict(plain or {})
        super().__init__(self.sentence("metric"))

    def sentence(self, system: str) -> str:
        """What was given, the limit and what to do, in inches or in millimetres."""
        words = {
            name: length_words(mm, system=system, rounded=rounded)
            for lengths, rounded in (
                (self.lengths_mm, round),
                (self.at_most_mm, math.floor),
                (self.at_least_mm, math.ceil),
            )
            for name, mm in lengths.items()
        }
        words |= {
            name: temperature_words(celsius, system=system)
            for name, celsius in self.temperatures_c.items()
        }
        return self.template.format(**words, **self.plain)


class HeatError(ForgingError):
    """A temperature, a thickness or a window that no sum can answer."""


class DrawOutError(ForgingError):
    """A size that the metal cannot become."""


class CalibrationError(ForgingError):
    """Measured billets that say nothing."""
