"""What it took to read a label: pictures with bars and the time since the first."""

from kiosk.scan.effort import Effort, EffortCounter


def test_pictures_and_time_are_counted_while_bars_are_in_view() -> None:
    """Three pictures in a quarter of a second."""
    counter = EffortCounter()
    assert [counter.saw_bars(at) for at in (10.0, 10.125, 10.25)] == [Effort(1, 0), Effort(2, 125), Effort(3, 250)]


def test_view_without_bars_starts_anew() -> None:
    """Another label, shown later, has its own count."""
    counter = EffortCounter(absent_s=1.0)
    counter.saw_bars(10.0)
    assert counter.saw_bars(11.5) == Effort(1, 0)


def test_label_that_was_read_starts_anew() -> None:
    """The next read of it is counted from its own beginning."""
    counter = EffortCounter()
    counter.saw_bars(10.0)
    counter.was_read()
    assert counter.saw_bars(10.1) == Effort(1, 0)
