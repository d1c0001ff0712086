"""Photos of how a unit arrived."""

from django.conf import settings
from django.db import models

from jobs.intake.models import Unit
from jobs.photos.models import Photo


class ConditionPhoto(models.Model):
    """One view of the arrival walk round a unit."""

    VIEWS = [
        ("front", "Front"),
        ("front_left", "Front left corner"),
        ("left", "Left side"),
        ("rear_left", "Rear left corner"),
        ("rear", "Rear"),
        ("rear_right", "Rear right corner"),
        ("right", "Right side"),
        ("front_right", "Front right corner"),
        ("dash", "Dash and odometer"),
        ("plate", "VIN plate"),
        ("damage", "Damage"),
    ]

    unit = models.ForeignKey(Unit, on_delete=models.CASCADE, related_name="condition_photos")
    photo = models.ForeignKey(Photo, on_delete=models.PROTECT, related_name="+")
    view = models.CharField(max_length=12, choices=VIEWS)
    note = models.CharField(max_length=200, blank=True)
    taken_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    taken_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["unit", "id"]

    def __str__(self) -> str:
        return self.get_view_display()
