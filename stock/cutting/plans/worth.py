"""What a remnant on the rack is worth, in whole numbers.

Worth is counted in lengths: a remnant of r is worth r and a premium that grows with its
square, so that few long remnants beat many short ones. It leaves out money.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Worth:
    """The rule for one case: below the keep length nothing, above it r + r²/(2·reference)."""

    keep_from_nm: int
    reference_nm: int  # above 0

    def scaled(self, length_nm: int) -> int:
        """Worth of one length, exactly, in units of 1/(2·reference).

        Args:
            length_nm: what is left of a bar [nm], 0 or more.

        Returns:
            2·reference times the worth [nm²]; 0 below the keep length.

        Source:
            Common practice put into a formula: one long remnant is of more use than two
            halves of it. The square is this shop's choice, not a published rule.

        >>> Worth(keep_from_nm=10, reference_nm=50).scaled(20)
        2400
        """
        if length_nm < max(self.keep_from_nm, 1):
            return 0
        return length_nm * (2 * self.reference_nm + length_nm)

    def whole_nm(self, scaled: int) -> int:
        """A scaled worth in nanometres, rounded down.

        Args:
            scaled: worth in units of 1/(2·reference) [nm²], of either sign.

        Returns:
            Worth [nm].

        Source:
            Definition of the scale above.

        >>> Worth(keep_from_nm=10, reference_nm=50).whole_nm(2400)
        24
        """
        return scaled // (2 * self.reference_nm)
