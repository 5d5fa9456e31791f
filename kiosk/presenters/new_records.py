"""Makes the service record of a job done now: what every record carries, whichever screen made it."""

from __future__ import annotations

from typing import Any

from kiosk.entities import ServiceRecord
from kiosk.language import N_
from kiosk.presenters.cautions import require_cleared
from kiosk.presenters.helpers import Helpers, Part
from kiosk.presenters.hours import current_hours
from kiosk.presenters.session import Session
from kiosk.service_sheet import JobSpec

DOUBTFUL_TIME = N_("not sure: the kiosk's clock was wrong")
"""Kept with a record, so that it is told wherever the record is."""


def new_record(helpers: Helpers, session: Session, part: Part, job: JobSpec, **own: Any) -> ServiceRecord:
    """Return the record of a job done now; `own` is what the job itself adds.

    Raises:
        NotAllowed: nobody is signed in, a caution is not confirmed or the hour meter not read in this shift.
    """
    person = session.worker()
    if helpers.is_clock_doubtful():
        own["details"] = {**own.get("details", {}), "time": DOUBTFUL_TIME}
    return ServiceRecord(
        id=helpers.new_id(), component_id=part.component.id, position_id=part.position.id, unit_id=part.unit.id,
        sheet=part.sheet.key, sheet_revision=part.sheet.revision, job=job.key, job_type=job.type, at=helpers.clock(),
        hours=current_hours(helpers, part.unit.id), person_id=person.id,
        cautions=require_cleared(helpers, person, part, job), scan_source=session.scan_source, **own,
    )
