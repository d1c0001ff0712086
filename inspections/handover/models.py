"""What is handed over: the packet, the receipt, and apart from it the customer's acceptance."""

from django.db import models
from django.db.models import Q

from jobs.models import Document, Unit


class Packet(models.Model):
    """One revision of a unit's delivery packet. Final once the unit is released."""

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="packets")
    revision = models.PositiveSmallIntegerField()
    draft = models.BooleanField(default=True)
    data_sha256 = models.CharField(max_length=64)
    document = models.ForeignKey(Document, on_delete=models.PROTECT, related_name="+")
    made_by = models.CharField(max_length=150)
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["unit", "-revision"]
        constraints = [
            models.UniqueConstraint(
                fields=["unit", "revision"], name="inspections_packet_revision"
            ),
        ]

    def __str__(self) -> str:
        return f"packet {self.revision} of {self.unit}"


class FrozenPacket(models.Model):
    """What a released packet said and the file it was given as. Append-only by database trigger."""

    packet = models.OneToOneField(Packet, on_delete=models.PROTECT, related_name="frozen")
    # {"cover", "frame", "sections", "attachments"}; the packet's data_sha256 covers the last two.
    data = models.JSONField()
    file_sha256 = models.CharField(max_length=64)
    size_bytes = models.PositiveBigIntegerField()
    page_count = models.PositiveIntegerField()
    frozen_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"frozen {self.packet}"


class Receipt(models.Model):
    """Somebody took the vehicle away. That is not acceptance."""

    unit = models.OneToOneField(Unit, on_delete=models.PROTECT, related_name="receipt")
    received_by = models.CharField(max_length=120)
    received_at = models.DateTimeField()
    odometer_mi = models.PositiveIntegerField()
    keys = models.PositiveSmallIntegerField()
    condition = models.TextField(blank=True)
    handed_over_by = models.CharField(max_length=150)

    def __str__(self) -> str:
        return f"receipt of {self.unit}"


class Training(models.Model):
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="trainings")
    name = models.CharField(max_length=120)
    topics = models.CharField(max_length=300)
    on = models.DateField()
    trainer = models.CharField(max_length=150)
    # The trained person's own word, given on the customer's page.
    signed_by = models.CharField(max_length=120, blank=True)
    signed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["unit", "on", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(signed_at__isnull=True, signed_by="")
                | (Q(signed_at__isnull=False) & ~Q(signed_by="")),
                name="inspections_training_both_signed_at_and_signed_by",
            ),
        ]

    def __str__(self) -> str:
        return f"training of {self.name}"


class Acceptance(models.Model):
    """The authorised customer's word on the vehicle. Append-only by database trigger."""

    class Answer(models.TextChoices):
        ACCEPTED = "accepted", "Accepted"
        PUNCH_LIST = "punch", "Accepted with open items"
        REJECTED = "rejected", "Rejected"

    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="acceptances")
    packet = models.ForeignKey(Packet, on_delete=models.PROTECT, related_name="acceptances")
    answer = models.CharField(max_length=10, choices=Answer.choices)
    name = models.CharField(max_length=120)
    comment = models.TextField(blank=True)
    packet_sha256 = models.CharField(max_length=64)
    at = models.DateTimeField()
    ip = models.GenericIPAddressField(null=True, blank=True)
    recorded_by = models.CharField(max_length=150, blank=True)

    class Meta:
        ordering = ["unit", "at"]
        constraints = [
            models.UniqueConstraint(
                fields=["unit"],
                condition=Q(answer__in=["accepted", "punch"]),
                name="inspections_acceptance_once",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_answer_display()} by {self.name}"


class PunchItem(models.Model):
    unit = models.ForeignKey(Unit, on_delete=models.PROTECT, related_name="punch_items")
    text = models.CharField(max_length=200)
    owner = models.CharField(max_length=120, blank=True)
    due_on = models.DateField(null=True, blank=True)
    safety = models.BooleanField("Safety item (bars acceptance)", default=False)
    closed_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["unit", "id"]

    def __str__(self) -> str:
        return self.text
