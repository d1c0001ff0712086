"""Makers' documents of parts: what goes along with the vehicle as a file."""

from django.db import models
from django.db.models import Q

from catalog.models import Part


class Manual(models.Model):
    """One PDF of a part's maker. Taken off the list it stays in the packets that carry it."""

    class Kind(models.TextChoices):
        USE = "use", "Instructions for use"
        FITTING = "fitting", "Fitting instructions"
        DATASHEET = "datasheet", "Datasheet"
        WARRANTY = "warranty", "Warranty terms"
        CERTIFICATE = "certificate", "Certificate or test report"

    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="manuals")
    kind = models.CharField("What it is", max_length=12, choices=Kind.choices)
    title = models.CharField(max_length=120)
    sha256 = models.CharField(max_length=64)
    size_bytes = models.PositiveIntegerField()
    added_by = models.CharField(max_length=150)
    added_at = models.DateTimeField(auto_now_add=True)
    removed_by = models.CharField(max_length=150, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["part", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["part", "sha256"],
                condition=Q(removed_at__isnull=True),
                name="inspections_manual_once",
            ),
            models.CheckConstraint(
                condition=Q(removed_at__isnull=True, removed_by="")
                | (Q(removed_at__isnull=False) & ~Q(removed_by="")),
                name="inspections_manual_both_removed_at_and_removed_by",
            ),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def file_name(self) -> str:
        """As it is attached: no name from outside, and one name for one file of a part."""
        return f"{self.part.code}-{self.kind}-{self.sha256[:6]}.pdf"
