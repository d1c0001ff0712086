"""Links that do not exist, counted per address, so that nobody can guess for long.

Counted in the database, because several processes answer.
"""

from datetime import timedelta

from django.db import models
from django.db.models import F
from django.utils import timezone

MOST_MISSES_PER_MINUTE = 30
KEEP_FOR = timedelta(hours=1)


class LinkMiss(models.Model):
    """How often one address tried unknown links in one minute. Old minutes are deleted."""

    ip = models.GenericIPAddressField()
    minute = models.DateTimeField()
    misses = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["ip", "minute"], name="jobs_linkmiss_ip_minute"),
        ]

    def __str__(self) -> str:
        return f"{self.misses} from {self.ip}"


def count_miss(ip: str) -> None:
    minute = timezone.now().replace(second=0, microsecond=0)
    row, made = LinkMiss.objects.get_or_create(ip=ip, minute=minute)
    LinkMiss.objects.filter(pk=row.pk).update(misses=F("misses") + 1)
    if made:
        LinkMiss.objects.filter(minute__lt=minute - KEEP_FOR).delete()


def too_many_misses(ip: str) -> bool:
    minute = timezone.now().replace(second=0, microsecond=0)
    found = LinkMiss.objects.filter(ip=ip, minute=minute, misses__gte=MOST_MISSES_PER_MINUTE)
    return found.exists()
