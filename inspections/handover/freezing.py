"""A released packet stays what it was: its data, their digest and its very bytes."""

from collections.abc import Iterator
from typing import Any

from django.http import Http404, HttpResponse

from inspections.handover.contents import digest_of
from inspections.handover.models import FrozenPacket, Packet
from jobs.background.files import sha256_of
from jobs.documents.files import document_path
from jobs.documents.responses import download, pdf_response
from jobs.models import Document

COVER, CONTENTS = "cover", "contents"


def freeze(packet: Packet) -> FrozenPacket | None:
    """Keep a released packet as it was first given; None while it is a draft or being made.

    Called before anybody gets the file or answers on it; the second call changes nothing.
    """
    kept = FrozenPacket.objects.filter(packet=packet).first()
    document = packet.document
    if kept is not None or packet.draft or document.state != Document.State.DONE:
        return kept
    return FrozenPacket.objects.get_or_create(
        packet=packet,
        defaults={
            "data": _data(document),
            "file_sha256": document.file_sha256,
            "size_bytes": document.size_bytes,
            "page_count": document.page_count,
        },
    )[0]


def _data(document: Document) -> dict[str, Any]:
    own = (COVER, CONTENTS)
    return {
        "cover": next((one for one in document.context if one["key"] == COVER), None),
        "frame": document.frame,
        "sections": [one for one in document.context if one["key"] not in own],
        "attachments": document.attachments,
    }


def packet_response(packet: Packet) -> HttpResponse:
    """The file. Of a released packet the bytes that were frozen, or none at all."""
    kept = freeze(packet)
    if kept is None:
        return download(packet.document)
    if fault := _file_fault(kept):
        raise Http404(f"The file of this packet {fault}; restore it from the backup.")
    return pdf_response(document_path(kept.file_sha256), packet.document.file_name)


def _file_fault(kept: FrozenPacket) -> str:
    path = document_path(kept.file_sha256)
    if not path.is_file():
        return "is missing"
    return "" if sha256_of(path) == kept.file_sha256 else "was changed on disk"


def verify_packets() -> Iterator[str]:
    """One sentence for each frozen packet whose data or file is no longer what was given."""
    for kept in FrozenPacket.objects.select_related("packet__unit").order_by("pk").iterator():
        packet = kept.packet
        where = f"unit {packet.unit.number}, packet revision {packet.revision}"
        said = {name: kept.data[name] for name in ("sections", "attachments")}
        if digest_of(said) != packet.data_sha256:
            yield f"{where}: its data were changed."
        if fault := _file_fault(kept):
            yield f"{where}: its file {fault}."
