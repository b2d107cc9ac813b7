"""Layups as the database holds them: stacks that are made again and again, layer by layer.

Part of `billets.models`, from which everybody imports these.
"""

from __future__ import annotations

from collections.abc import Iterable

from django.conf import settings
from django.core.validators import MaxValueValidator
from django.db import models
from django.urls import reverse

from billets.layup import design as layup_design
from billets.layup.design import BLADE_FIELDS, blade_from
from stock.models import Material


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


class Layup(models.Model):
    """A stack that the shop makes again and again."""

    name = models.CharField(max_length=80, unique=True)
    note = models.TextField(max_length=1000, blank=True)
    blank_length_nm = models.PositiveBigIntegerField(default=152_400_000)
    blank_width_nm = models.PositiveBigIntegerField(default=31_750_000)
    cut_allowance_nm = models.PositiveBigIntegerField(default=0)
    cleaning_loss_nm = models.PositiveBigIntegerField(default=0)  # each face of each layer
    seam_closed = models.BooleanField(default=True)
    finish_thickness_nm = models.PositiveBigIntegerField(default=4_762_500)
    # Width, length or neither: with neither it spreads free.
    finish_width_nm = models.PositiveBigIntegerField(null=True, blank=True)
    finish_length_nm = models.PositiveBigIntegerField(null=True, blank=True)
    spine_nm = models.PositiveBigIntegerField(default=3_968_750)
    blade_height_nm = models.PositiveBigIntegerField(default=31_750_000)
    grind = models.CharField(max_length=10, choices=Grind.choices, default=Grind.FLAT)
    # Sizes of the blade that may be left to what is usual.
    bevel_height_nm = models.PositiveBigIntegerField(null=True, blank=True)
    wheel_radius_nm = models.PositiveBigIntegerField(null=True, blank=True)
    bulge_nm = models.PositiveBigIntegerField(null=True, blank=True)
    blade_length_nm = models.PositiveBigIntegerField(null=True, blank=True)
    # The left face, towards the bottom of the stack, where it is not the right one's like.
    left_grind = models.CharField(max_length=10, choices=LeftGrind.choices, blank=True, default="")
    left_bevel_height_nm = models.PositiveBigIntegerField(null=True, blank=True)
    left_wheel_radius_nm = models.PositiveBigIntegerField(null=True, blank=True)
    left_bulge_nm = models.PositiveBigIntegerField(null=True, blank=True)
    edge_off_nm = models.PositiveBigIntegerField(null=True, blank=True)  # towards the left face
    zinc_control = models.CharField(max_length=200, blank=True)
    override_reason = models.CharField(max_length=300, blank=True)  # owner's, printed on sheets
    override_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    bar_folds = models.PositiveSmallIntegerField(default=0, validators=[MaxValueValidator(12)])
    is_retired = models.BooleanField(default=False)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta:
        ordering = ("is_retired", "name")

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """Its page, the editor."""
        return reverse("billets:layup-edit", args=[self.pk])

    def design(self) -> layup_design.Design:
        """The layup as numbers, layers from the bottom up."""
        return self.design_of(
            layup_design.Layer(alloy=row.alloy, thickness_nm=row.thickness_nm, role=row.role)
            for row in self.layers.all()
        )

    def design_of(self, layers: Iterable[layup_design.Layer]) -> layup_design.Design:
        """This layup's sizes with these layers, from the bottom up."""
        return layup_design.Design(
            layers=tuple(layers),
            blank_length_nm=self.blank_length_nm,
            blank_width_nm=self.blank_width_nm,
            cut_allowance_nm=self.cut_allowance_nm,
            cleaning_loss_nm=self.cleaning_loss_nm,
            seam_closed=self.seam_closed,
            finish_thickness_nm=self.finish_thickness_nm,
            finish_width_nm=self.finish_width_nm,
            finish_length_nm=self.finish_length_nm,
            blade=blade_from({name: getattr(self, name) for name in BLADE_FIELDS}),
            zinc_control=self.zinc_control,
        )


class Layer(models.Model):
    """One layer of a layup; position 0 is the bottom face."""

    layup = models.ForeignKey(Layup, models.CASCADE, related_name="layers")
    position = models.PositiveSmallIntegerField()
    alloy = models.CharField(max_length=40)
    thickness_nm = models.PositiveBigIntegerField()
    role = models.CharField(max_length=10, choices=Role.choices)
    material = models.ForeignKey(
        Material, models.SET_NULL, null=True, blank=True, related_name="+"
    )  # cut from this and nothing else, if set

    class Meta:
        ordering = ("layup", "position")
        constraints = [
            models.UniqueConstraint(fields=("layup", "position"), name="layer_position_once")
        ]
