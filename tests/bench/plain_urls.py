"""The shop's addresses and one more: a list of fifty rows with nothing clever about it."""

from django.http import HttpRequest, HttpResponse
from django.template import engines
from django.urls import include, path

from config.access import any_role
from jobs.models import Circuit

PAGE = engines["django"].from_string(
    '{% extends "base.html" %}{% block main %}<h1>Circuits</h1><table><tbody>{% for row in rows %}'
    "<tr><th>{{ row.ref }}</th><td>{{ row.designation }}</td><td>{{ row.awg }}</td>"
    "<td>{{ row.length_mm }}</td></tr>{% endfor %}</tbody></table>{% endblock %}"
)


@any_role
def plain_list(request: HttpRequest) -> HttpResponse:
    return HttpResponse(PAGE.render({"rows": list(Circuit.objects.all()[:50])}, request))


urlpatterns = [path("bench/plain/", plain_list), path("", include("config.urls"))]
