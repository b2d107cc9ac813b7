"""Every address of the app: the three floors' own lists, one under the other."""

from django.urls import include, path

handler400 = "shop.people.views.unreadable"
urlpatterns = [
    path("", include("shop.urls")),
    path("", include("billets.urls")),
    path("", include("stock.urls")),
]
