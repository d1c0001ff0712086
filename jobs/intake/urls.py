"""Addresses of the intake slice."""

from django.urls import path

from jobs.intake.agencies import views as agencies
from jobs.intake.arrival import views as arrival
from jobs.intake.requirements import furnished_views as furnished
from jobs.intake.requirements import views as requirements
from jobs.intake.sheet import views as sheet
from jobs.intake.units import views as units

AGENCY = "agencies/<int:agency_id>/"
CONTACT = AGENCY + "contacts/<int:contact_id>/"
JOB = "jobs/<str:number>/"
REQUIREMENT = JOB + "requirements/<int:requirement>/"
ITEM = JOB + "furnished/<int:item_id>/"
UNIT = JOB + "units/<str:unit>/"

urlpatterns = [
    # agencies/
    path("agencies/", agencies.agency_list, name="agency_list"),
    path("agencies/new/", agencies.agency_new, name="agency_new"),
    path("agencies/names/", sheet.agency_names, name="agency_names"),
    path(AGENCY, agencies.agency_detail, name="agency_detail"),
    path(AGENCY + "edit/", agencies.agency_edit, name="agency_edit"),
    path(AGENCY + "legal/", agencies.agency_legal, name="agency_legal"),
    path(AGENCY + "contacts/new/", agencies.contact_new, name="contact_new"),
    path(CONTACT + "edit/", agencies.contact_edit, name="contact_edit"),
    path(CONTACT + "remove/", agencies.contact_remove, name="contact_remove"),
    # jobs/
    path("jobs/", sheet.job_list, name="job_list"),
    path("jobs/new/", sheet.job_new, name="job_new"),
    path(JOB, sheet.job_detail, name="job_detail"),
    path(JOB + "edit/", sheet.job_edit, name="job_edit"),
    path(JOB + "cancel/", sheet.job_cancel, name="job_cancel"),
    path(JOB + "history/", sheet.job_history, name="job_history"),
    path(JOB + "links/", sheet.link_list, name="link_list"),
    path(JOB + "links/<int:link_id>/revoke/", sheet.link_revoke, name="link_revoke"),
    # jobs/<number>/requirements/
    path(JOB + "requirements/", requirements.requirement_list, name="requirement_list"),
    path(JOB + "requirements/new/", requirements.requirement_new, name="requirement_new"),
    path(JOB + "requirements/copy/", requirements.requirement_copy, name="requirement_copy"),
    path(REQUIREMENT + "edit/", requirements.requirement_edit, name="requirement_edit"),
    path(REQUIREMENT + "status/", requirements.requirement_status, name="requirement_status"),
    # jobs/<number>/furnished/
    path(JOB + "furnished/", furnished.furnished_list, name="furnished_list"),
    path(JOB + "furnished/new/", furnished.furnished_new, name="furnished_new"),
    path(ITEM + "edit/", furnished.furnished_edit, name="furnished_edit"),
    path(ITEM + "receive/", furnished.furnished_receive, name="furnished_receive"),
    path(ITEM + "waive/", furnished.furnished_waive, name="furnished_waive"),
    # jobs/<number>/units/
    path("vin/", units.vin_check, name="vin_check"),
    path(JOB + "units/", units.unit_list, name="unit_list"),
    path(JOB + "units/new/", units.unit_new, name="unit_new"),
    path(UNIT, units.unit_detail, name="unit_detail"),
    path(UNIT + "edit/", units.unit_edit, name="unit_edit"),
    path(UNIT + "remove/", units.unit_remove, name="unit_remove"),
    # jobs/<number>/units/<unit>/arrival/
    path(UNIT + "arrival/", arrival.unit_arrival, name="unit_arrival"),
    path(UNIT + "arrival/readings/", arrival.arrival_readings, name="arrival_readings"),
    path(UNIT + "arrival/walk/", arrival.arrival_walk, name="arrival_walk"),
    path(
        UNIT + "arrival/photos/<int:photo_id>/remove/",
        arrival.arrival_photo_remove,
        name="arrival_photo_remove",
    ),
    path(UNIT + "arrival/accept/", arrival.arrival_accept, name="arrival_accept"),
    path(UNIT + "arrival/reopen/", arrival.arrival_reopen, name="arrival_reopen"),
    path(UNIT + "arrival/report/", arrival.arrival_report, name="arrival_report"),
]
