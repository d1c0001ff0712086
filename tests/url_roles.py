"""The authorisation matrix: every address and the roles that may use it.

Add a line when you add an address; tests/test_urls.py prints the line to paste.
"""

from config.access import DESIGNER, INSPECTOR, MANAGER, PUBLIC, ROLES, TECHNICIAN

EVERYBODY = frozenset(ROLES)


def only(*roles: str) -> frozenset[str]:
    return frozenset(roles)


URL_ROLES: dict[str, frozenset[str]] = {
    # my day
    "inspections:my_day": EVERYBODY,
    # people
    "jobs:first_run": PUBLIC,
    "jobs:healthz": PUBLIC,
    "jobs:own_account": EVERYBODY,
    "jobs:people_list": only(MANAGER),
    "jobs:person_edit": only(MANAGER),
    "jobs:person_new": only(MANAGER),
    "jobs:person_passphrase": only(MANAGER),
    "jobs:set_mode": PUBLIC,
    "jobs:shop_settings": only(MANAGER),
    "jobs:sign_in": PUBLIC,
    "jobs:sign_out": PUBLIC,
    "jobs:style_bay": EVERYBODY,
    "jobs:style_sheet": EVERYBODY,
    # parts
    "catalog:part_detail": EVERYBODY,
    "catalog:part_edit": only(MANAGER, DESIGNER),
    "catalog:part_export": only(MANAGER, DESIGNER),
    "catalog:part_import": only(MANAGER, DESIGNER),
    "catalog:part_import_apply": only(MANAGER, DESIGNER),
    "catalog:part_import_check": only(MANAGER, DESIGNER),
    "catalog:part_list": EVERYBODY,
    "catalog:part_new": only(MANAGER, DESIGNER),
    "catalog:part_restore": only(MANAGER, DESIGNER),
    "catalog:part_retire": only(MANAGER, DESIGNER),
    "catalog:part_revision": EVERYBODY,
    "catalog:part_template": EVERYBODY,
    # photos
    "jobs:photo_original": only(MANAGER, INSPECTOR),
    "jobs:photo_preview": EVERYBODY,
    # agencies
    "jobs:agency_detail": EVERYBODY,
    "jobs:agency_edit": only(MANAGER),
    "jobs:agency_legal": only(MANAGER),
    "jobs:agency_list": EVERYBODY,
    "jobs:agency_names": EVERYBODY,
    "jobs:agency_new": only(MANAGER),
    "jobs:contact_edit": only(MANAGER),
    "jobs:contact_new": only(MANAGER),
    "jobs:contact_remove": only(MANAGER),
    # jobs and customer links
    "jobs:job_cancel": only(MANAGER),
    "jobs:job_detail": EVERYBODY,
    "jobs:job_edit": only(MANAGER),
    "jobs:job_history": EVERYBODY,
    "jobs:job_list": EVERYBODY,
    "jobs:job_new": only(MANAGER),
    "jobs:link_list": only(MANAGER),
    "jobs:link_revoke": only(MANAGER),
    # requirements and agency equipment
    "jobs:furnished_edit": only(MANAGER),
    "jobs:furnished_list": EVERYBODY,
    "jobs:furnished_new": only(MANAGER),
    "jobs:furnished_receive": only(MANAGER, TECHNICIAN, INSPECTOR),
    "jobs:furnished_waive": only(MANAGER),
    "jobs:requirement_copy": only(MANAGER, DESIGNER),
    "jobs:requirement_edit": only(MANAGER),
    "jobs:requirement_list": EVERYBODY,
    "jobs:requirement_new": only(MANAGER, DESIGNER),
    "jobs:requirement_status": only(MANAGER, DESIGNER),
    # units and their arrival
    "jobs:arrival_accept": only(MANAGER, TECHNICIAN, INSPECTOR),
    "jobs:arrival_photo_remove": only(MANAGER, TECHNICIAN, INSPECTOR),
    "jobs:arrival_readings": only(MANAGER, TECHNICIAN, INSPECTOR),
    "jobs:arrival_reopen": only(MANAGER),
    "jobs:arrival_report": EVERYBODY,
    "jobs:arrival_walk": only(MANAGER, TECHNICIAN, INSPECTOR),
    "jobs:unit_arrival": EVERYBODY,
    "jobs:unit_detail": EVERYBODY,
    "jobs:unit_edit": only(MANAGER),
    "jobs:unit_list": EVERYBODY,
    "jobs:unit_new": only(MANAGER),
    "jobs:unit_remove": only(MANAGER),
    "jobs:vin_check": EVERYBODY,
    # build sheet and design
    "jobs:build_sheet": EVERYBODY,
    "jobs:circuit_list": EVERYBODY,
    "jobs:design_keep": only(MANAGER, DESIGNER),
    "jobs:design_release": only(MANAGER, DESIGNER),
    "jobs:design_revision": EVERYBODY,
    "jobs:finding_accept": only(MANAGER, DESIGNER),
    "jobs:mode_duty": only(MANAGER, DESIGNER),
    "jobs:mode_list": EVERYBODY,
    "jobs:row_add": only(MANAGER, DESIGNER),
    "jobs:row_edit": only(MANAGER, DESIGNER),
    "jobs:row_remove": only(MANAGER, DESIGNER),
    "jobs:weight_sheet": EVERYBODY,
    # stages
    "jobs:hold_release": only(MANAGER, INSPECTOR),
    "jobs:job_stages": EVERYBODY,
    "jobs:stage_board": EVERYBODY,
    "jobs:stage_detail": EVERYBODY,
    "jobs:stage_finish": only(TECHNICIAN),
    "jobs:stage_plan": only(MANAGER),
    "jobs:stage_reopen": only(MANAGER, INSPECTOR),
    "jobs:stage_work": only(TECHNICIAN),
    "jobs:stages_plan": only(MANAGER),
}
