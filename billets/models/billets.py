"""Billets as the database holds them: blanks, stages, heats, sizes, and bars made of billets.

Part of `billets.models`, from which everybody imports these. `billets.history.writing` is the only
writer of a billet's history.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.urls import reverse

from billets.layup import design as layup_design
from billets.models.hours import WorkTime
from billets.models.layups import Layup, Role
from stock.models import Material, Piece, SetAside


class BilletQuerySet(models.QuerySet["Billet"]):
    """Billets read with how far they are."""

    def with_stage(self) -> BilletQuerySet:
        """Each with `reached`: the last of its steps that was not undone."""
        standing = Step.objects.filter(billet=models.OuterRef("pk"), undoes=None, undone_by=None)
        last = standing.order_by("-id").values("kind")[:1]
        return self.annotate(reached=models.Subquery(last))


class Billet(models.Model):
    """One stack made for somebody or for the rack; what was done to it is in its steps."""

    mark = models.CharField(max_length=8, unique=True)
    layup = models.ForeignKey(Layup, models.PROTECT, null=True, related_name="billets")
    layup_name = models.CharField(max_length=80)
    design_json = models.JSONField()  # a `Design`, copied when the billet was made
    override_reason = models.CharField(max_length=300, blank=True)
    bar_folds = models.PositiveSmallIntegerField(default=0)
    knife = models.CharField(max_length=120, blank=True)  # knife pattern in words
    note = models.CharField(max_length=300, blank=True)
    is_withdrawn = models.BooleanField(default=False)  # taken out of its plan before any cut
    made_at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    objects = BilletQuerySet.as_manager()

    class Meta:
        ordering = ("-id",)

    def __str__(self) -> str:
        return self.mark

    def get_absolute_url(self) -> str:
        """Its page."""
        return reverse("billets:billet-detail", args=[self.mark])

    @property
    def job(self) -> str:
        """What the ledger calls it."""
        return f"billet:{self.pk}"

    def design(self) -> layup_design.Design:
        """Its own copy of the design."""
        return layup_design.Design.from_json(self.design_json)


class BlankQuerySet(models.QuerySet["Blank"]):
    """Blanks read with their metal."""

    def with_metal(self) -> BlankQuerySet:
        """Each read in the same query with the piece that it is cut from.

        Joined, not prefetched: a prefetch asks for each set-aside by a condition of its own, and
        SQLite takes no more than a thousand of these.
        """
        return self.select_related("set_aside__piece__material")


class Blank(models.Model):
    """One layer of one billet, to be cut from a piece; its metal is its set-aside."""

    billet = models.ForeignKey(Billet, models.CASCADE, related_name="blanks")
    position = models.PositiveSmallIntegerField()
    alloy = models.CharField(max_length=40)
    role = models.CharField(max_length=10, choices=Role.choices)
    thickness_nm = models.PositiveBigIntegerField()
    width_nm = models.PositiveBigIntegerField()
    length_nm = models.PositiveBigIntegerField()  # with the cut allowance
    material = models.ForeignKey(Material, models.SET_NULL, null=True, related_name="+")
    set_aside = models.OneToOneField(
        SetAside, models.SET_NULL, null=True, related_name="blank"
    )  # standing or cut; one that was freed stays only while a failed billet may want it back

    objects = BlankQuerySet.as_manager()

    class Meta:
        ordering = ("billet", "position")
        constraints = [
            models.UniqueConstraint(fields=("billet", "position"), name="blank_position_once")
        ]

    @property
    def is_cut(self) -> bool:
        """Whether the ledger has it cut."""
        return self.set_aside is not None and self.set_aside.state == SetAside.State.CUT

    @property
    def has_metal(self) -> bool:
        """Whether metal is set aside for it, or cut."""
        return self.set_aside is not None and self.set_aside.state != SetAside.State.FREED


class StepKind(models.TextChoices):
    """The stages of a billet, in order; `failed` may follow any."""

    PLANNED = "planned", "planned"
    CUT = "cut", "cut"
    CLEANED = "cleaned", "cleaned"
    WELDED = "welded", "welded shut"
    BONDED = "bonded", "bonded"
    DRAWN = "drawn", "drawn out"
    FINISHED = "finished", "finished"
    FAILED = "failed", "failed"


class Cause(models.TextChoices):
    """Why a billet failed."""

    NO_BOND = "no-bond", "a layer did not bond"
    COPPER_RAN = "copper-ran", "copper ran (too hot)"
    SEAM_OPENED = "seam-opened", "a seam opened"
    CORE_OFF = "core-off", "core off centre"
    CORE_THIN = "core-thin", "core too thin"
    CRACKED = "cracked", "cracked"
    WRONG_STACK = "wrong-stack", "stacked wrong"
    OTHER = "other", "something else"


class Step(models.Model):
    """One stage reached, or one undone by a second record that names the first."""

    billet = models.ForeignKey(Billet, models.CASCADE, related_name="steps")
    kind = models.CharField(max_length=10, choices=StepKind.choices)
    cause = models.CharField(max_length=15, choices=Cause.choices, blank=True)
    note = models.CharField(max_length=300, blank=True)
    wire_act = models.UUIDField(null=True)  # the ledger's act for the filler, when welded shut
    time = models.ForeignKey(
        WorkTime, models.PROTECT, null=True, related_name="stages"
    )  # minutes that were typed with it
    undoes = models.OneToOneField("self", models.PROTECT, null=True, related_name="undone_by")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("billet", "id")


class Work(models.TextChoices):
    """What was done in a heat."""

    SET = "set", "set the bond"
    DRAW = "draw", "draw out"
    FLATTEN = "flatten", "flatten"


class Heat(models.Model):
    """One trip to the fire; a wrong line is struck, and stays readable."""

    billet = models.ForeignKey(Billet, models.CASCADE, related_name="heats")
    number = models.PositiveSmallIntegerField()
    work = models.CharField(max_length=8, choices=Work.choices, default=Work.DRAW)
    temperature_mdegc = models.BigIntegerField(null=True, blank=True)
    seconds = models.PositiveIntegerField(null=True, blank=True)
    thickness_nm = models.PositiveBigIntegerField(null=True, blank=True)  # after
    is_confirmed_strange = models.BooleanField(default=False)
    note = models.CharField(max_length=200, blank=True)
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, related_name="+"
    )
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("billet", "number", "id")


class Measurement(models.Model):
    """A billet's size as measured; the latest one counts."""

    billet = models.ForeignKey(Billet, models.CASCADE, related_name="measurements")
    length_nm = models.PositiveBigIntegerField()
    width_nm = models.PositiveBigIntegerField()
    thickness_nm = models.PositiveBigIntegerField()
    heats = models.PositiveSmallIntegerField(null=True, blank=True)
    is_confirmed_strange = models.BooleanField(default=False)
    note = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ("billet", "-id")


class Bar(models.Model):
    """A billet that became a piece on the rack: a bar made here, core or jacket of another."""

    billet = models.OneToOneField(Billet, models.PROTECT, related_name="bar")
    piece = models.OneToOneField(Piece, models.PROTECT, related_name="bar")
    layer_count = models.PositiveIntegerField()
