"""The times of the system."""

from datetime import date, timedelta

from synth.device import clock


def test_the_date_and_time_know_their_zone():
    """A record of practice is dated in UTC, whatever the computer's zone."""
    assert clock.utc_now().utcoffset() == timedelta(0)


def test_today_is_a_date_and_the_clocks_run_forward():
    """The rest of the system's times in one look."""
    assert isinstance(clock.today(), date)
    assert clock.now_s() <= clock.now_s()
    assert clock.awake_s() <= clock.awake_s()
