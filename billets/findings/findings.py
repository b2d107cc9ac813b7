"""What is wrong with a layup, and what is worth knowing about it, worst first.

It leaves out the sums (`billets.layup.stack`, `billets.layup.window`); what is looked for is in the
other files of this room, by the part of the billet it concerns. Nothing here raises: a layup that
cannot be judged gets a finding that says so.
"""

from billets.findings.core import check_core
from billets.findings.edge import check_edge
from billets.findings.finding import LEVELS, Finding, Level, Measure, Words
from billets.findings.heat import check_heat
from billets.findings.joins import check_build, check_joins
from billets.findings.lines import check_lines
from billets.layup.case import Case

__all__ = ["Finding", "Level", "Measure", "Words", "findings", "is_plannable", "worst"]


def findings(case: Case) -> tuple[Finding, ...]:
    """Everything there is to say about a layup.

    Args:
        case: the layup, of any number of layers.

    Returns:
        Findings, stops first, then cares, then notes; within a level as they concern
        building, joining, heat, the core, the lines.
    """
    checks = (check_build, check_joins, check_heat, check_core, check_edge, check_lines)
    found = [one for check in checks for one in check(case)]
    return tuple(sorted(found, key=lambda one: LEVELS.index(one.level)))


def is_plannable(found: tuple[Finding, ...]) -> bool:
    """Whether a class may be planned with a layup as it stands.

    Args:
        found: its findings.

    Returns:
        False when one of them is a stop; the owner may still override with a written reason.
    """
    return worst(found) != "stop"


def worst(found: tuple[Finding, ...]) -> Level | None:
    """The worst level among findings.

    Args:
        found: findings in any order.

    Returns:
        "stop", "care" or "note"; None when there are none.
    """
    return min((one.level for one in found), key=LEVELS.index, default=None)
