"""Template tags of the shop floor."""
