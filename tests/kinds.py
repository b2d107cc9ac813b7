"""What the builders of the tests give, by name, for the signatures of tests."""

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from django.http import HttpResponse
from django.test import Client as Client
from pytest_django import DjangoAssertNumQueries as DjangoAssertNumQueries
from pytest_django import Settings as Settings

from billets.models import Billet as Billet
from billets.models import Layup as Layup
from shop.models import ForgeClass as ForgeClass
from shop.models import Knife as Knife
from shop.models import Person as Person
from shop.models import ShopSettings as ShopSettings
from stock.models import Material as Material
from stock.models import Piece as Piece
from stock.models import Purchase as Purchase
from stock.models import Saw as Saw
from stock.models import Supplier as Supplier

if TYPE_CHECKING:
    from django.test.client import _MonkeyPatchedWSGIResponse

    Response = _MonkeyPatchedWSGIResponse
else:
    Response = HttpResponse

MakeMaterial = Callable[..., Material]
MakePiece = Callable[..., Piece]
MakeLayup = Callable[..., Layup]
MakeBillet = Callable[..., Billet]
MakeClass = Callable[..., ForgeClass]
ClassMetal = dict[str, Piece]


Kind = TypeVar("Kind")


def sure(found: Kind | None) -> Kind:
    """What may be nothing in another shop, and is something in this test's."""
    assert found is not None
    return found
