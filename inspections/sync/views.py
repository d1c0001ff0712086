"""Where tablets send what they stored. Everything here may be asked twice without harm."""

import json
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from config.access import INSPECTOR, MANAGER, TECHNICIAN, any_role, bay_page, role_required
from inspections.sync import actions, photos
from inspections.sync.forms import SHA256, EventForm
from jobs.audit.record import display_name
from jobs.models import Photo
from jobs.people.tablets import device_words
from jobs.photos.headers import PhotoError

MOST_EVENTS = 50
WORDS = "The tablet's entries could not be read: "
# A tablet that was off for a century has no clock worth noting.
LARGEST_CLOCK_MS = 100 * 365 * 24 * 3600 * 1000


def _now_ms() -> int:
    return int(timezone.now().timestamp() * 1000)


@require_safe
@any_role
@ensure_csrf_cookie
@bay_page
def sync_state(request: HttpRequest) -> HttpResponse:
    """Who is signed in, and the time: a tablet asks before it sends."""
    person = request.user
    return JsonResponse({"person": person.pk, "name": display_name(person), "time": _now_ms()})


@require_POST
@role_required(TECHNICIAN, INSPECTOR, MANAGER)
@bay_page
def sync_events(request: HttpRequest) -> HttpResponse:
    """Take in a batch of events, oldest first; one answer for each."""
    try:
        batch = json.loads(request.body)
    except (ValueError, RecursionError):
        return _unreadable("they are not JSON.")
    events = batch.get("events") if isinstance(batch, dict) else None
    if not isinstance(events, list) or len(events) > MOST_EVENTS:
        return _unreadable(f"a list of at most {MOST_EVENTS} events is expected.")
    clock_ms = _clock_ms(batch.get("sent_at"))
    device = device_words(request)
    answers = [_answer(event, request.user, clock_ms, device) for event in events]
    return JsonResponse({"time": _now_ms(), "answers": answers})


def _unreadable(why: str) -> HttpResponse:
    return JsonResponse({"sentence": WORDS + why}, status=400)


def _clock_ms(sent_at: Any) -> int:
    """The tablet's clock minus ours; 0 where it does not say."""
    if not isinstance(sent_at, int) or isinstance(sent_at, bool):
        return 0
    return max(min(sent_at - _now_ms(), LARGEST_CLOCK_MS), -LARGEST_CLOCK_MS)


def _answer(event: Any, by: Any, clock_ms: int, device: str) -> dict[str, Any]:
    form = EventForm(event if isinstance(event, dict) else {})
    if not form.is_valid():
        known = event.get("id") if isinstance(event, dict) else None
        return {"id": str(known)[:40], "answer": "refused", "sentence": form.sentence()}
    receipt = actions.take_in(form=form, by=by, clock_ms=clock_ms, device=device)
    return {
        "id": receipt.id,
        "answer": receipt.answer,
        "sentence": receipt.sentence,
        "photos": receipt.photos,
    }


@role_required(TECHNICIAN, INSPECTOR, MANAGER)
@require_http_methods(["PUT"])
@bay_page
def sync_photo(request: HttpRequest, sha256: str) -> HttpResponse:
    """One photo under its SHA-256, after the entry that names it. Again is no harm."""
    if not SHA256.fullmatch(sha256):
        return JsonResponse({"sentence": f"{sha256[:64]} is not a SHA-256."}, status=422)
    if Photo.objects.filter(sha256=sha256).exists():
        return JsonResponse({"sentence": "Already here."})
    if not photos.is_awaited(sha256, request.user):
        return JsonResponse({"sentence": "No entry of yours waits for this photo."}, status=404)
    try:
        photos.receive_photo(request=request, sha256=sha256, by=request.user)
    except photos.TooLargeError as error:
        return JsonResponse({"sentence": str(error)}, status=413)
    except photos.OtherBytesError as error:
        return JsonResponse({"sentence": str(error)}, status=409)
    except PhotoError as error:
        words = str(error)
        return JsonResponse({"sentence": f"{words[0].upper()}{words[1:]}."}, status=422)
    return JsonResponse({"sentence": "Stored."}, status=201)
