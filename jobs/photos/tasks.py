"""Background work on photos. Messages carry no ids: the worker looks at the table."""

from pathlib import Path

from celery import shared_task
from django.conf import settings

from jobs.background.bell import ring
from jobs.background.files import clear_half_written
from jobs.photos.models import Photo
from jobs.photos.previews import DRAIN, claim_photo, make_preview, waiting

PER_CALL = 10


@shared_task(name=DRAIN, ignore_result=True)
def drain_photos() -> None:
    """Make previews of some waiting photos; ring again when more are left."""
    for _ in range(PER_CALL):
        photo = claim_photo()
        if photo is None:
            return
        make_preview(photo)
    sweep_photos()


@shared_task(name="jobs.sweep_photos", ignore_result=True)
def sweep_photos() -> None:
    """Ring once when photos wait: for a bell nobody heard, or a worker that died. Tidy up."""
    if Photo.objects.filter(waiting()).exists():
        ring(DRAIN)
    folders = (settings.EVIDENCE_DIR, settings.PREVIEW_DIR, settings.FILE_UPLOAD_TEMP_DIR)
    clear_half_written(*map(Path, folders))
