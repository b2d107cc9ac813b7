"""Layups, billets and their history as the database holds them.

A billet carries a copy of its layup's design, so that later edits of the layup change nothing.
`billets.history.writing` is the only writer of a billet's history.
"""

from billets.models.billets import Bar as Bar
from billets.models.billets import Billet as Billet
from billets.models.billets import BilletQuerySet as BilletQuerySet
from billets.models.billets import Blank as Blank
from billets.models.billets import BlankQuerySet as BlankQuerySet
from billets.models.billets import Cause as Cause
from billets.models.billets import Heat as Heat
from billets.models.billets import Measurement as Measurement
from billets.models.billets import Step as Step
from billets.models.billets import StepKind as StepKind
from billets.models.billets import Work as Work
from billets.models.hours import WorkStep as WorkStep
from billets.models.hours import WorkTime as WorkTime
from billets.models.layups import Grind as Grind
from billets.models.layups import Layer as Layer
from billets.models.layups import Layup as Layup
from billets.models.layups import LeftGrind as LeftGrind
from billets.models.layups import Role as Role
