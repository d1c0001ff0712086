"""Documents to be rendered. The row is the truth; the broker only rings the worker's bell."""

from django.db import models

DRAIN = "jobs.drain_documents"


class Document(models.Model):
    """One rendered file for one content. Asked twice with the same content, rendered once.

    `context` is a list of sections, each {"key", "title", "template", "data"}: plain JSON, so that
    a frozen document can be rendered again years later. The owner points here, never the reverse.
    """

    class State(models.TextChoices):
        QUEUED = "queued", "Waiting for the worker"
        RUNNING = "running", "Being made"
        DONE = "done", "Ready"
        FAILED = "failed", "Failed"

    kind = models.CharField(max_length=20)
    title = models.CharField(max_length=200)
    file_name = models.CharField(max_length=120)
    fingerprint = models.CharField(max_length=64, unique=True)
    context = models.JSONField()
    # What the whole document shares: page size, running words, draft mark (frame.py).
    frame = models.JSONField(default=dict)
    # Files put into the PDF: [{"name", "media_type", "text"}].
    attachments = models.JSONField(default=list)
    state = models.CharField(
        max_length=8, choices=State.choices, default=State.QUEUED, db_index=True
    )
    progress = models.CharField(max_length=200, blank=True)
    sections_done = models.PositiveSmallIntegerField(default=0)
    sections_total = models.PositiveSmallIntegerField(default=0)
    attempts = models.PositiveSmallIntegerField(default=0)
    lease_until = models.DateTimeField(null=True, blank=True)
    error = models.TextField(blank=True)
    file_sha256 = models.CharField(max_length=64, blank=True)
    size_bytes = models.PositiveBigIntegerField(default=0)
    page_count = models.PositiveIntegerField(default=0)
    created_at = models.DateTimeField(auto_now_add=True)
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-created_at"]

    def __str__(self) -> str:
        return self.title

    @property
    def is_waiting(self) -> bool:
        """True while the worker still has something to do, so that pages keep asking."""
        return self.state in (self.State.QUEUED, self.State.RUNNING)


class SectionWork(models.Model):
    """A section that some worker still has to render. The row goes when the section is done.

    These rows let several worker processes share one document; the finished sections meet in the
    section cache (cache.py).
    """

    document = models.ForeignKey(Document, on_delete=models.CASCADE, related_name="work")
    number = models.PositiveSmallIntegerField()
    weight = models.PositiveIntegerField()
    attempts = models.PositiveSmallIntegerField(default=0)
    lease_until = models.DateTimeField(null=True, blank=True)
    error = models.TextField(blank=True)

    class Meta:
        ordering = ["-weight", "number"]

    def __str__(self) -> str:
        return f"section {self.number + 1} of document {self.document_id}"
