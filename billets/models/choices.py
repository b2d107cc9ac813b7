"""What can be chosen for a layup, with the words for it."""

from django.db import models


class Role(models.TextChoices):
    """What a layer is for."""

    CLADDING = "cladding", "cladding"
    LINE = "line", "line"
    CORE = "core", "core"
    JACKET = "jacket", "jacket"


class Grind(models.TextChoices):
    """Shape of the bevel."""

    FLAT = "flat", "flat"
    SABRE = "sabre", "sabre"
    HOLLOW = "hollow", "hollow"
    CONVEX = "convex", "convex"


class LeftGrind(models.TextChoices):
    """Shape of the left face; empty where it is the right one's like."""

    SAME = "", "the same as the right face"
    NOT_GROUND = "none", "not ground: a chisel grind"
    FLAT = "flat", "flat"
    SABRE = "sabre", "sabre"
    HOLLOW = "hollow", "hollow"
    CONVEX = "convex", "convex"
