"""A player without a device and a clock that tests set by hand."""

from dataclasses import dataclass, field

import pytest

from app import theme
from app.practice import Practice
from exercises.logbook.store import Logbook


@dataclass
class StillClock:
    """Stands in for the stream's clock."""

    residual_ms: float = 0.2


@dataclass
class SilentPlayer:
    """Has the player's face; ``now_s`` is moved by the test, the sound starts at ``start_s``."""

    sample_rate_hz: int = 48_000
    description: str = "silent test player"
    now_s: float = 100.0
    start_s: float = 100.2
    gain: float = 0.25
    playing: bool = False
    faults: tuple[str, ...] = ()
    clock: StillClock = field(default_factory=StillClock)
    lag_s: float = 0.0
    source: str = "measured"
    trouble: Exception | None = None
    samples: object = None

    def open(self) -> None:
        if self.trouble is not None:
            raise self.trouble

    def close(self) -> None:
        self.playing = False

    def play(self, samples, delay_s: float = 0.1) -> None:
        self.samples, self.playing, self.faults = samples, True, ()
        self.start_s = self.now_s + 0.2

    def stop(self) -> None:
        self.playing = False

    def poll(self) -> None:
        pass

    def position_s(self) -> float:
        return self.now_s - self.start_s

    def trial_s(self, time_s: float) -> float:
        return time_s - self.start_s


@pytest.fixture
def player() -> SilentPlayer:
    return SilentPlayer()


@pytest.fixture
def logbook(tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as book:
        yield book


@pytest.fixture
def practice(player, logbook) -> Practice:
    """A practice whose seeds count up from 1."""
    seeds = iter(range(1, 1000))
    return Practice(player, logbook, new_seed=lambda: next(seeds))


@pytest.fixture(scope="session", autouse=True)
def _fonts(qapp):
    theme.load_fonts()
