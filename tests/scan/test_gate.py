"""The steady-read gate."""

from kiosk.scan.gate import SteadyGate


def test_first_read_alone_is_no_scan() -> None:
    """One frame may be a glimpse; two equal reads are a scan."""
    gate = SteadyGate()
    assert [gate.offer("1", 0.0), gate.offer("1", 0.1)] == [False, True]


def test_number_held_in_view_scans_once() -> None:
    """A label left in front of the camera must not save twice."""
    gate = SteadyGate()
    assert sum(gate.offer("1", at * 0.1) for at in range(200)) == 1


def test_number_shown_again_scans_again() -> None:
    """Taken away and brought back, it counts again."""
    gate = SteadyGate(absent_s=2.0)
    assert sum(gate.offer("1", at) for at in (0.0, 0.1, 0.2, 5.0, 5.1, 5.2)) == 2


def test_two_labels_in_turn_do_not_pass_on_mixed_reads() -> None:
    """Reads that alternate between two labels are not steady."""
    gate = SteadyGate()
    assert not any(gate.offer(number, at * 0.1) for at, number in enumerate("1212121212"))


def test_reads_too_far_apart_do_not_add_up() -> None:
    """Two glimpses a minute apart are not one steady read."""
    gate = SteadyGate(within_s=1.0)
    assert [gate.offer("1", 0.0), gate.offer("1", 60.0)] == [False, False]
