"""What the other layers may ask, by subject; each answer is an entity or a plain value, never a row."""

from kiosk.records.queries.courses import CourseQueries
from kiosk.records.queries.findings import FindingQueries
from kiosk.records.queries.history import HistoryQueries
from kiosk.records.queries.hours import HourQueries
from kiosk.records.queries.hub import HubQueries
from kiosk.records.queries.label_life import LabelLifeQueries
from kiosk.records.queries.news import NewsQueries
from kiosk.records.queries.parts import PartQueries
from kiosk.records.queries.photos import PhotoQueries
from kiosk.records.queries.work import WorkQueries
from kiosk.records.queries.work_in_hand import WorkInHandQueries
from kiosk.records.queries.yard import YardQueries

__all__ = [
    "CourseQueries", "FindingQueries", "HistoryQueries", "HourQueries", "HubQueries", "LabelLifeQueries",
    "NewsQueries", "PartQueries", "PhotoQueries", "WorkInHandQueries", "WorkQueries", "YardQueries",
]
