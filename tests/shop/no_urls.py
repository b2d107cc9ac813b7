"""No addresses at all."""

urlpatterns: list[object] = []
