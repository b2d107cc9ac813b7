"""The metal as the database holds it: materials, pieces, entries, set-asides, purchases.

Amounts are whole numbers in the unit of the material's form: nanometres for bars and rolls,
square nanometres for sheets, micrograms for wire, pieces for counted things. `Piece.on_hand`,
`Piece.value_cents` and `Piece.set_aside` are kept by database triggers (`stock.triggers`), never
by this code; `stock.ledger` is the only writer of entries and set-asides.
"""

from stock.alloy_models import OwnAlloy as OwnAlloy
from stock.alloy_models import Saw as Saw
from stock.alloy_models import alloy_book as alloy_book
from stock.alloy_models import own_alloy as own_alloy
from stock.book_models import Entry as Entry
from stock.book_models import SentBack as SentBack
from stock.book_models import SetAside as SetAside
from stock.material_models import CUT_FORMS as CUT_FORMS
from stock.material_models import LENGTH_FORMS as LENGTH_FORMS
from stock.material_models import Form as Form
from stock.material_models import Material as Material
from stock.material_models import MaterialQuerySet as MaterialQuerySet
from stock.piece_models import Piece as Piece
from stock.piece_models import PieceQuerySet as PieceQuerySet
from stock.purchase_models import Offer as Offer
from stock.purchase_models import Purchase as Purchase
from stock.purchase_models import PurchaseLine as PurchaseLine
from stock.purchase_models import Supplier as Supplier
