"""What a fuse, breaker or wire in the catalog is to a circuit."""

from django.db import models


class DeviceKind(models.TextChoices):
    """What protects a conductor; the kinds that circuits know, but for a node's own trip."""

    FUSE_BLADE = "fuse_blade", "Blade fuse"
    FUSE_BOLT = "fuse_bolt", "Bolt-down fuse"
    BREAKER_AUTO = "breaker_auto", "Breaker, automatic reset (type I)"
    BREAKER_MODIFIED = "breaker_modified", "Breaker, modified reset (type II)"
    BREAKER_MANUAL = "breaker_manual", "Breaker, manual reset (type III)"


# American wire gauges that circuits can be made of.
CONDUCTOR_SIZES = (
    "22", "20", "18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0",
    "4/0",
)  # fmt: skip
