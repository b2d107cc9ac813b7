"""Addresses of the metal's pages."""

from django.urls import URLPattern, path

from stock.catalogue import views as catalogue_views
from stock.ledger_page import views as ledger_page_views
from stock.purchases import views as purchases_views
from stock.rack import views as rack_views

app_name = "stock"
urlpatterns: list[URLPattern] = [
    path("rack/", rack_views.rack, name="rack"),
    path("rack/<str:mark>/", rack_views.piece_detail, name="piece-detail"),
    path("rack/<str:mark>/<slug:act>/", rack_views.piece_act, name="piece-act"),
    path("m/<str:mark>/", rack_views.mark_page, name="mark"),
    path("receive/", purchases_views.receive, name="receive"),
    path("orders/", purchases_views.purchase_list, name="purchase-list"),
    path("orders/<int:purchase_id>/", purchases_views.purchase_detail, name="purchase-detail"),
    path(
        "orders/<int:purchase_id>/receive/",
        purchases_views.purchase_receive,
        name="purchase-receive",
    ),
    path("orders/<int:purchase_id>/drop/", purchases_views.purchase_drop, name="purchase-drop"),
    path("materials/", catalogue_views.material_list, name="material-list"),
    path("materials/add/", catalogue_views.material_add, name="material-add"),
    path("materials/<int:material_id>/", catalogue_views.material_change, name="material-change"),
    path(
        "materials/<int:material_id>/retire/",
        catalogue_views.material_retire,
        name="material-retire",
    ),
    path("saws/", catalogue_views.saw_list, name="saw-list"),
    path("saws/<int:saw_id>/", catalogue_views.saw_list, name="saw-change"),
    path("alloys/", purchases_views.alloy_list, name="alloy-list"),
    path("alloys/add/", purchases_views.alloy_form, name="alloy-add"),
    path("alloys/<int:alloy_id>/", purchases_views.alloy_form, name="alloy-change"),
    path("suppliers/", purchases_views.supplier_list, name="supplier-list"),
    path("suppliers/add/", purchases_views.supplier_form, name="supplier-add"),
    path("suppliers/<int:supplier_id>/", purchases_views.supplier_form, name="supplier-change"),
    path("offers/", purchases_views.offer_list, name="offer-list"),
    path("offers/add/", purchases_views.offer_form, name="offer-add"),
    path("offers/<int:offer_id>/", purchases_views.offer_form, name="offer-change"),
    path("offers/<int:offer_id>/retire/", purchases_views.offer_retire, name="offer-retire"),
    path("ledger/", ledger_page_views.ledger_page, name="ledger"),
    path("ledger/file/", ledger_page_views.ledger_file, name="ledger-file"),
    path("ledger/<uuid:act>/undo/", ledger_page_views.entry_undo, name="entry-undo"),
    path("labels/", rack_views.label_list, name="label-list"),
    path("labels/file/", rack_views.label_file, name="label-file"),
]
