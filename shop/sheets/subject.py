"""Whose sheet it is: everything about a billet that a worksheet prints and no sum can give.

Pure; `shop.worksheets.reading` fills it from the database.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from billets.layup.case import Case
from billets.layup.design import Design

SPARE = "spare"


@dataclass(frozen=True)
class Source:
    """What one layer is cut from: mark of the piece, heat or lot of the steel."""

    piece: str = ""
    heat_lot: str = ""


@dataclass(frozen=True)
class Subject:
    """One billet: its mark ("" before it is planned), for whom, and what it is to become."""

    mark: str
    who: str
    case: Case
    layup_name: str
    is_spare: bool = False
    knife: str = ""
    folds: int = 0
    override_reason: str = ""
    address: str = ""  # of the billet's page
    occasion: str = ""  # class and dates, for the foot of the page
    stage: str = "planned"
    sources: dict[int, Source] = field(default_factory=dict)

    @property
    def design(self) -> Design:
        """The layup."""
        return self.case.design

    @property
    def title(self) -> str:
        """What stands largest on the sheet."""
        return self.mark or "no mark yet"
