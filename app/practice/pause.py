"""When a pause is due, from the times at which something sounded. Plain Python, no widget."""

from dataclasses import dataclass

# Common practice: some minutes' rest for ears and hands after twenty of work.
PAUSE_AFTER_S = 20 * 60.0
REST_S = 5 * 60.0


@dataclass(slots=True)
class Sitting:
    """One sitting: from the first sound to a rest of ``REST_S`` without any. Times are of the one clock."""

    began_s: float | None = None
    last_s: float | None = None

    def heard(self, now_s: float) -> None:
        """Something sounds now."""
        if self.last_s is None or now_s - self.last_s >= REST_S:
            self.began_s = now_s
        self.last_s = now_s

    def pause_due(self, now_s: float) -> bool:
        """Whether a pause should be suggested: after ``PAUSE_AFTER_S``, until one has been taken."""
        if self.began_s is None or self.last_s is None or now_s - self.last_s >= REST_S:
            return False
        return now_s - self.began_s >= PAUSE_AFTER_S
