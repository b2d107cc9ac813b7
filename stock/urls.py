"""Addresses of the metal's pages."""

from django.urls import URLPattern, path

from stock.catalogue import views as views_material
from stock.ledger_page import views as views_ledger
from stock.purchases import offer_views as views_offer
from stock.purchases import supplier_views as views_supplier
from stock.purchases import views as views_receive
from stock.rack import label_views as views_label
from stock.rack import rack_views as views_rack
from stock.rack import views as views_piece

app_name = "stock"
urlpatterns: list[URLPattern] = [
    path("rack/", views_rack.rack, name="rack"),
    path("rack/<str:mark>/", views_piece.piece_detail, name="piece-detail"),
    path("rack/<str:mark>/<slug:act>/", views_piece.piece_act, name="piece-act"),
    path("m/<str:mark>/", views_rack.mark_page, name="mark"),
    path("receive/", views_receive.receive, name="receive"),
    path("orders/", views_receive.purchase_list, name="purchase-list"),
    path("orders/<int:purchase_id>/", views_receive.purchase_detail, name="purchase-detail"),
    path(
        "orders/<int:purchase_id>/receive/",
        views_receive.purchase_receive,
        name="purchase-receive",
    ),
    path("orders/<int:purchase_id>/drop/", views_receive.purchase_drop, name="purchase-drop"),
    path("materials/", views_material.material_list, name="material-list"),
    path("materials/add/", views_material.material_add, name="material-add"),
    path("materials/<int:material_id>/", views_material.material_change, name="material-change"),
    path(
        "materials/<int:material_id>/retire/",
        views_material.material_retire,
        name="material-retire",
    ),
    path("saws/", views_material.saw_list, name="saw-list"),
    path("saws/<int:saw_id>/", views_material.saw_list, name="saw-change"),
    path("alloys/", views_supplier.alloy_list, name="alloy-list"),
    path("alloys/add/", views_supplier.alloy_form, name="alloy-add"),
    path("alloys/<int:alloy_id>/", views_supplier.alloy_form, name="alloy-change"),
    path("suppliers/", views_supplier.supplier_list, name="supplier-list"),
    path("suppliers/add/", views_supplier.supplier_form, name="supplier-add"),
    path("suppliers/<int:supplier_id>/", views_supplier.supplier_form, name="supplier-change"),
    path("offers/", views_offer.offer_list, name="offer-list"),
    path("offers/add/", views_offer.offer_form, name="offer-add"),
    path("offers/<int:offer_id>/", views_offer.offer_form, name="offer-change"),
    path("offers/<int:offer_id>/retire/", views_offer.offer_retire, name="offer-retire"),
    path("ledger/", views_ledger.ledger_page, name="ledger"),
    path("ledger/file/", views_ledger.ledger_file, name="ledger-file"),
    path("ledger/<uuid:act>/undo/", views_ledger.entry_undo, name="entry-undo"),
    path("labels/", views_label.label_list, name="label-list"),
    path("labels/file/", views_label.label_file, name="label-file"),
]
