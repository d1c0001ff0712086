"""Shared tablets of the bay, and the short numbers by which people take them over."""

from django.conf import settings
from django.contrib.auth.models import User
from django.db import models
from django.db.models import Q


class Tablet(models.Model):
    """A device on which an office manager lets several people work one after the other."""

    name = models.CharField("Name of the tablet", max_length=40, unique=True)
    # The device holds the key in a cookie; here is only what it hashes to.
    key_sha256 = models.CharField(max_length=64, unique=True)
    enrolled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    enrolled_at = models.DateTimeField(auto_now_add=True)
    revoked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    revoked_at = models.DateTimeField(null=True, blank=True)
    failures = models.PositiveSmallIntegerField(default=0)
    locked_until = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.CheckConstraint(
                condition=Q(revoked_at__isnull=True, revoked_by__isnull=True)
                | Q(revoked_at__isnull=False, revoked_by__isnull=False),
                name="jobs_tablet_both_revoked_at_and_revoked_by",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class QuickPin(models.Model):
    """A person's PIN, hashed like a passphrase. Counts for bay pages on enrolled tablets only."""

    person = models.OneToOneField(User, on_delete=models.CASCADE, related_name="quick_pin")
    pin = models.CharField(max_length=128)
    set_at = models.DateTimeField(auto_now=True)
    failures = models.PositiveSmallIntegerField(default=0)
    locked_until = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"PIN of {self.person}"
