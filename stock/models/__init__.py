"""The metal as the database holds it: materials, pieces, entries, set-asides, purchases.

Amounts are whole numbers in the unit of the material's form: nanometres for bars and rolls, square
nanometres for sheets, micrograms for wire, pieces for counted things. `Piece.on_hand`,
`Piece.value_cents` and `Piece.set_aside` are kept by database triggers (`stock.ledger.triggers`),
never by this code; `stock.ledger.by_hand` is the only writer of entries and set-asides.
"""

from stock.models.books import Entry as Entry
from stock.models.books import Piece as Piece
from stock.models.books import PieceQuerySet as PieceQuerySet
from stock.models.books import SentBack as SentBack
from stock.models.books import SetAside as SetAside
from stock.models.materials import CUT_FORMS as CUT_FORMS
from stock.models.materials import LENGTH_FORMS as LENGTH_FORMS
from stock.models.materials import Form as Form
from stock.models.materials import Material as Material
from stock.models.materials import MaterialQuerySet as MaterialQuerySet
from stock.models.materials import OwnAlloy as OwnAlloy
from stock.models.materials import Saw as Saw
from stock.models.materials import alloy_book as alloy_book
from stock.models.materials import own_alloy as own_alloy
from stock.models.purchases import Offer as Offer
from stock.models.purchases import Purchase as Purchase
from stock.models.purchases import PurchaseLine as PurchaseLine
from stock.models.purchases import Supplier as Supplier
