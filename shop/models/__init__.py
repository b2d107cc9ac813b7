"""The workshop as a business: people, settings, classes, seats, plans, money, knives.

Metal is in `stock`, billets are in `billets`; this floor joins them to people, dates and money.
"""

from shop.models.classes import ForgeClass as ForgeClass
from shop.models.classes import ForgeClassQuerySet as ForgeClassQuerySet
from shop.models.classes import Seat as Seat
from shop.models.classes import SeatQuerySet as SeatQuerySet
from shop.models.knives import Knife as Knife
from shop.models.knives import KnifeQuerySet as KnifeQuerySet
from shop.models.knives import KnifeService as KnifeService
from shop.models.knives import KnifeStep as KnifeStep
from shop.models.knives import KnifeTime as KnifeTime
from shop.models.knives import KnifeTreatment as KnifeTreatment
from shop.models.knives import TreatmentStep as TreatmentStep
from shop.models.money import ClassTerms as ClassTerms
from shop.models.money import ClassTermsQuerySet as ClassTermsQuerySet
from shop.models.money import RateSheet as RateSheet
from shop.models.money import SeatPayment as SeatPayment
from shop.models.once import Press as Press
from shop.models.people import CalendarLink as CalendarLink
from shop.models.people import Person as Person
from shop.models.people import ShopSettings as ShopSettings
from shop.models.runs import BuyingRun as BuyingRun
from shop.models.runs import PlanRun as PlanRun
