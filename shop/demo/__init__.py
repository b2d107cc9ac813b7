"""The demo shop: invented, made through the app's own writing functions, the same every time."""

OWNER, HELPER, PASSWORD = "tamsin", "rowan", "tansy-row-demo"
SHOP_NAME = "Tansy Row Forge"
