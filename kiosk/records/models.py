"""The tables as peewee models: for queries, and for the names and order of columns.

The tables themselves are made by the migrations; a test compares the two. No model is bound to a database: the
store runs the queries. Entities go in and out of this folder, rows do not.
"""

from __future__ import annotations

from peewee import CompositeKey, FloatField, IntegerField, Model, TextField


class JournalRow(Model):
    """One entry of the journal; `arrival` is the order in which entries came to this database."""

    arrival = IntegerField(primary_key=True)
    kiosk = IntegerField()
    seq = IntegerField()
    id = TextField(unique=True)
    at = TextField()
    kind = TextField()
    person_id = TextField(null=True)
    body = TextField()
    previous_hash = TextField()
    hash = TextField()

    class Meta:
        table_name = "journal"


class YardRow(Model):
    """The yard's name, in the only row."""

    id = IntegerField(primary_key=True)
    name = TextField()

    class Meta:
        table_name = "yard"


class PersonRow(Model):
    """One of the crew."""

    id = TextField(primary_key=True)
    name = TextField()
    role = TextField()
    badge = TextField()
    units = TextField()
    language = TextField()

    class Meta:
        table_name = "person"


class UnitRow(Model):
    """One machine."""

    id = TextField(primary_key=True)
    name = TextField()
    design = TextField()
    label = TextField()
    description = TextField()

    class Meta:
        table_name = "unit"


class AssemblyRow(Model):
    """An assembly of a machine."""

    id = TextField(primary_key=True)
    unit_id = TextField()
    name = TextField()
    design = TextField()

    class Meta:
        table_name = "assembly"


class PositionRow(Model):
    """A place for a part."""

    id = TextField(primary_key=True)
    unit_id = TextField()
    assembly_id = TextField()
    name = TextField()
    sheet = TextField()
    side = TextField()
    x = FloatField()
    y = FloatField()
    walk_order = IntegerField()

    class Meta:
        table_name = "position"


class SheetTextRow(Model):
    """A revision of a service sheet as it was adopted."""

    sheet = TextField()
    revision = IntegerField()
    text = TextField()
    adopted_at = TextField()

    class Meta:
        table_name = "sheet_text"
        primary_key = CompositeKey("sheet", "revision")


class LabelRow(Model):
    """A label number that was issued."""

    number = TextField(primary_key=True)
    kind = TextField()
    subject_id = TextField(null=True)
    kiosk = IntegerField()
    serial = IntegerField()
    issued_at = TextField()
    retired_at = TextField(null=True)
    retired_reason = TextField()

    class Meta:
        table_name = "label"


class ComponentRow(Model):
    """A part; `properties` are those of now, `first_properties` those it was installed with."""

    id = TextField(primary_key=True)
    sheet = TextField()
    position_id = TextField()
    unit_id = TextField()
    description = TextField()
    label = TextField()
    installed_at = TextField()
    installed_hours = FloatField()
    retired_at = TextField(null=True)
    retired_hours = FloatField(null=True)
    retired_reason = TextField()
    replaced_by = TextField(null=True)
    properties = TextField()
    first_properties = TextField()

    class Meta:
        table_name = "component"


class PropertyChangeRow(Model):
    """What a record changed of its part's properties."""

    record_id = TextField(primary_key=True)
    component_id = TextField()
    at = TextField()
    changes = TextField()

    class Meta:
        table_name = "property_change"


class RecordRow(Model):
    """A service record: what pages and filters need; the whole of it stands in the journal's entry `arrival`."""

    id = TextField(primary_key=True)
    component_id = TextField()
    position_id = TextField()
    unit_id = TextField()
    job = TextField()
    at = TextField()
    hours = FloatField()
    person_id = TextField()
    verdict = TextField(null=True)
    strokes = IntegerField(null=True)
    corrected_by = TextField(null=True)
    job_type = TextField()
    arrival = IntegerField()

    class Meta:
        table_name = "record"


class ReadingRow(Model):
    """A reading of a record that still holds, for trends."""

    component_id = TextField()
    quantity = TextField()
    at = TextField()
    record_id = TextField()
    place = IntegerField()
    side = TextField()
    phase = TextField()
    hours = FloatField()
    value = FloatField()

    class Meta:
        table_name = "reading"
        primary_key = CompositeKey("component_id", "quantity", "at", "record_id", "place")


class HourReadingRow(Model):
    """An hour-meter reading, by itself or from a record; `source_id` is the event's id."""

    unit_id = TextField()
    at = TextField()
    source_id = TextField()
    hours = FloatField()
    person_id = TextField(null=True)

    class Meta:
        table_name = "hour_reading"
        primary_key = CompositeKey("unit_id", "at", "source_id")


class LastDoneRow(Model):
    """When a job was last done on a part."""

    component_id = TextField()
    job = TextField()
    at = TextField()
    record_id = TextField()
    hours = FloatField()
    person_id = TextField()

    class Meta:
        table_name = "last_done"
        primary_key = CompositeKey("component_id", "job")


class CorrectionRow(Model):
    """That a record was corrected, or annulled where there is no replacement."""

    record_id = TextField(primary_key=True)
    event_id = TextField()
    at = TextField()
    person_id = TextField(null=True)
    reason = TextField()
    replacement_id = TextField(null=True)

    class Meta:
        table_name = "correction"


class FindingRow(Model):
    """Something seen wrong; `closing_record_id` is the record that closed it, if one did."""

    id = TextField(primary_key=True)
    unit_id = TextField()
    position_id = TextField()
    component_id = TextField()
    text = TextField()
    opened_at = TextField()
    opened_by = TextField()
    record_id = TextField(null=True)
    closed_at = TextField(null=True)
    closed_by = TextField(null=True)
    closed_reason = TextField()
    closing_record_id = TextField(null=True)
    severity = TextField()

    class Meta:
        table_name = "finding"


class PhotoRow(Model):
    """A photo of a record's work or of a finding; `event_id` brought it, the picture is a file of that hash."""

    event_id = TextField(primary_key=True)
    subject = TextField()
    subject_id = TextField()
    sha256 = TextField()
    width_px = IntegerField()
    height_px = IntegerField()
    size_bytes = IntegerField()
    at = TextField()
    person_id = TextField(null=True)

    class Meta:
        table_name = "photo"


class UnitHoldRow(Model):
    """That a unit is, or was, held out of service; `id` is the event's that held it."""

    id = TextField(primary_key=True)
    unit_id = TextField()
    reason = TextField()
    held_at = TextField()
    held_by = TextField()
    released_at = TextField(null=True)
    released_by = TextField(null=True)
    released_reason = TextField()

    class Meta:
        table_name = "unit_hold"


class WorkRow(Model):
    """What somebody has, or had, in hand; `id` is the event's that opened it."""

    id = TextField(primary_key=True)
    kind = TextField()
    what = TextField()
    unit_id = TextField(null=True)
    component_id = TextField()
    job = TextField()
    shift = TextField()
    opened_at = TextField()
    opened_by = TextField()
    closed_at = TextField(null=True)
    closed_by = TextField(null=True)
    closed_reason = TextField()

    class Meta:
        table_name = "work"


class WorkHandRow(Model):
    """Who had it in hand, from when until when; `event_id` brought it to them."""

    work_id = TextField()
    event_id = TextField()
    person_id = TextField()
    since = TextField()
    until = TextField(null=True)
    from_person_id = TextField(null=True)
    how = TextField(null=True)
    reason = TextField()

    class Meta:
        table_name = "work_hand"
        primary_key = CompositeKey("work_id", "event_id", "person_id")


class RoundJobRow(Model):
    """A job of a round, in the order of the walk, and what became of it."""

    round_id = TextField()
    place = IntegerField()
    unit_id = TextField()
    position_id = TextField()
    component_id = TextField()
    job = TextField()
    state = TextField()
    record_id = TextField(null=True)
    reason = TextField()
    person_id = TextField(null=True)
    at = TextField(null=True)

    class Meta:
        table_name = "round_job"
        primary_key = CompositeKey("round_id", "place")


class CautionConfirmedRow(Model):
    """A caution that a person confirmed for a unit and shift."""

    unit_id = TextField()
    shift = TextField()
    person_id = TextField()
    caution = TextField()
    at = TextField()

    class Meta:
        table_name = "caution_confirmed"
        primary_key = CompositeKey("unit_id", "shift", "person_id", "caution")


class LabelPrintRow(Model):
    """A label on its way through the printer."""

    id = TextField(primary_key=True)
    kiosk = IntegerField()
    number = TextField()
    lines = TextField()
    copies = IntegerField()
    reason = TextField()
    state = TextField()
    note = TextField()
    job = IntegerField(null=True)
    queued_at = TextField()
    moved_at = TextField()

    class Meta:
        table_name = "label_print"


class LabelSeenRow(Model):
    """How well a label read, once; `event_id` brought it."""

    number = TextField()
    at = TextField()
    event_id = TextField()
    source = TextField()
    how = TextField()
    tries = IntegerField()
    took_ms = FloatField()
    grade = FloatField(null=True)

    class Meta:
        table_name = "label_seen"
        primary_key = CompositeKey("number", "at", "event_id")


class LabelFoundRow(Model):
    """That a label was found loose."""

    event_id = TextField(primary_key=True)
    number = TextField()
    at = TextField()
    place = TextField()
    person_id = TextField(null=True)

    class Meta:
        table_name = "label_found"


class CourseRow(Model):
    """Guided work; `id` is the event's that began it."""

    id = TextField(primary_key=True)
    kind = TextField()
    unit_id = TextField()
    position_id = TextField()
    component_id = TextField()
    job = TextField()
    sheet = TextField()
    sheet_revision = IntegerField()
    begun_at = TextField()
    begun_by = TextField()
    ended_at = TextField(null=True)
    outcome = TextField(null=True)
    reason = TextField()
    record_id = TextField(null=True)

    class Meta:
        table_name = "course"


class CourseStepRow(Model):
    """One step of guided work; the whole of it stands in the journal under the same id."""

    id = TextField(primary_key=True)
    course_id = TextField()
    at = TextField()

    class Meta:
        table_name = "course_step"


class ScheduledJobRow(Model):
    """A job put on the due list once; `id` is the event's."""

    id = TextField(primary_key=True)
    unit_id = TextField()
    component_id = TextField()
    job = TextField()
    reason = TextField()
    at = TextField()
    hours = FloatField()
    after_hours = FloatField(null=True)
    after_days = IntegerField(null=True)

    class Meta:
        table_name = "scheduled_job"


class SeenHeadRow(Model):
    """How far a kiosk had seen another's entries at its last word about it; `before_seq` at the word before that."""

    by_kiosk = IntegerField()
    of_kiosk = IntegerField()
    seq = IntegerField()
    told_seq = IntegerField()
    before_seq = IntegerField()

    class Meta:
        table_name = "seen_head"
        primary_key = CompositeKey("by_kiosk", "of_kiosk")


class ConflictRow(Model):
    """What two kiosks entered against each other; `subject` is the part's id or the sheet's key."""

    id = TextField(primary_key=True)
    kind = TextField()
    text = TextField()
    at = TextField()
    event_id = TextField()
    other_id = TextField(null=True)
    unit_id = TextField(null=True)
    subject = TextField()
    finding_id = TextField(null=True)
    settled_at = TextField(null=True)
    settled_by = TextField(null=True)
    settled_reason = TextField()

    class Meta:
        table_name = "conflict"


# Every table that is made from the journal; a table stands after those it refers to.
PROJECTIONS: tuple[type[Model], ...] = (
    YardRow, PersonRow, UnitRow, AssemblyRow, PositionRow, SheetTextRow, LabelRow, ComponentRow, PropertyChangeRow,
    RecordRow, ReadingRow, HourReadingRow, LastDoneRow, CorrectionRow, FindingRow, PhotoRow, UnitHoldRow,
    WorkRow, WorkHandRow, RoundJobRow, CautionConfirmedRow, LabelPrintRow, LabelSeenRow, LabelFoundRow,
    CourseRow, CourseStepRow, ScheduledJobRow, SeenHeadRow, ConflictRow,
)
# What this database alone needs to bring other kiosks' entries in; no two kiosks have the same there.
LOCAL_TABLES = ("entry_place", "undo_step", "undo_switch", "applied_head", "hub_apart", "hub_note")


def table_name(model: type[Model]) -> str:
    """Return the name of a model's table."""
    return str(model._meta.table_name)


def column_names(model: type[Model]) -> tuple[str, ...]:
    """Return a table's columns in their order."""
    return tuple(field.column_name for field in model._meta.sorted_fields)


def insert_statement(model: type[Model]) -> str:
    """Return the INSERT of a whole row, its values as parameters in the order of the columns."""
    columns = column_names(model)
    marks = ", ".join("?" * len(columns))
    return f"INSERT INTO {table_name(model)} ({', '.join(columns)}) VALUES ({marks})"


def upsert_statement(model: type[Model]) -> str:
    """Return the INSERT of a whole row that changes the row of the same first column, if there is one."""
    key, *others = column_names(model)
    changes = ", ".join(f"{column} = excluded.{column}" for column in others)
    return f"{insert_statement(model)} ON CONFLICT ({key}) DO UPDATE SET {changes}"
