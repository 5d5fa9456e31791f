"""The records: a journal that is only ever added to, and the tables made from it. Nothing else uses peewee."""

from kiosk.records.yard_records import YardRecords

__all__ = ["YardRecords"]
