"""Makes trials and their sound in advance, in a worker process."""

from collections.abc import Callable, Sequence
from concurrent.futures import Executor, Future
from dataclasses import dataclass, replace
from typing import Protocol

from app.practice.trial.replaying import Replaying, replaying
from exercises.drills import drill
from exercises.forms.drill import SAME_KITS_TO
from exercises.trial.modes import Mode, in_mode
from exercises.trial.result import Result
from exercises.trial.side_task import SideTask, Task
from exercises.trial.trial import Answer, Trial
from synth.base.arrays import Samples
from synth.device.playback import Player
from synth.recording.source import RecordingSource

# Of four grooves the same one comes so often in a row once in 4e9 draws; a rung may have a single one.
MOST_DRAWS = 16


@dataclass(frozen=True, slots=True)
class Wish:
    """What to practise next.

    Without ``rung`` the learner's level gives it; tempo, groove, seed and the family of the kit are drawn at random
    unless given. ``way`` is how a voice counts, "bars" or "letters". ``record`` asks for one of the learner's own
    records by its id, or for any (``ANY`` of own_records.py); ``recording`` is the one that was found, which plays.
    """

    drill: str = "one"
    rung: int | None = None
    tempo_bpm: float | None = None
    groove: str | None = None
    seed: int | None = None
    mode: Mode = Mode.PLAIN
    way: str = "bars"
    kit_family: str | None = None
    record: str = ""
    recording: RecordingSource | None = None

    @property
    def on_record(self) -> bool:
        """Whether an own record is asked for, and the drill can be played on one."""
        return bool(self.record) and drill(self.drill).records > 0


@dataclass(frozen=True, slots=True, eq=False)
class Ready:
    """A trial, its sound, float32 (frames, 2), and its side task, if any."""

    trial: Trial
    samples: Samples
    side: SideTask | None = None


def make_ready(wish: Wish, seed: int, sample_rate_hz: int, language: str = "en") -> Ready:
    """Make and render the trial of a wish with its rung, counted by a voice in ``language``.

    ``Trouble`` for an unknown rung or groove.
    """
    trial = drill(wish.drill).make(
        1 if wish.rung is None else wish.rung,
        seed,
        tempo_bpm=wish.tempo_bpm,
        groove=wish.groove,
        kit_family=wish.kit_family,
        recording=wish.recording,
    )
    # The seed chooses between the two side tasks, so that neither becomes a habit.
    trial, side = in_mode(trial, wish.mode, list(Task)[seed % len(Task)])
    return Ready(trial, trial.samples(sample_rate_hz, way=wish.way, language=language), side)


# A wish with its rung, the seed and the sample rate in Hz.
Request = tuple[Wish, int, int]


class Rendering(Protocol):
    """Renders sounds beforehand; see ``app.practice.trial.takes_ahead``."""

    def expect(self, requests: Sequence[Request]) -> None:
        """Render the sounds of these, the likeliest first."""

    def fetch(self, request: Request) -> None:
        """Take over what is there."""

    def close(self) -> None:
        """End it."""


class Ahead:
    """Makes the next trial in advance in ``workers``, or without workers when it is taken.

    ``new_seed`` draws the seed of a wish without one, anew while a groove or kit that is drawn would be that of the
    trial before. ``language`` is the voice's. ``rendering`` renders the sounds of what may come next while a trial is
    heard.
    """

    def __init__(
        self, new_seed: Callable[[], int], workers: Executor | None = None, rendering: Rendering | None = None
    ) -> None:
        self._new_seed, self.workers, self.rendering = new_seed, workers, rendering
        self.language = "en"
        self._of: tuple[Wish, int, str] | None = None
        self._coming: Future[Ready] | None = None
        self._before: tuple[str, int] = "", -1
        self._drawn: int | None = None

    def prepare(self, wish: Wish, sample_rate_hz: int) -> None:
        """Start making the trial of a wish; cancel one in progress for another wish."""
        asked = wish, sample_rate_hz, self.language
        if self.workers is not None and self._of != asked:
            if self._coming is not None:
                self._coming.cancel()
            self._of = asked
            self._coming = self.workers.submit(self._make, wish, self._seed(wish), sample_rate_hz, self.language)

    def take(self, wish: Wish, sample_rate_hz: int) -> Ready:
        """The trial of a wish: the prepared one, after waiting for it, or one made now."""
        self.prepare(wish, sample_rate_hz)
        coming, self._of, self._coming = self._coming, None, None
        ready = (
            make_ready(wish, self._seed(wish), sample_rate_hz, self.language) if coming is None else coming.result()
        )
        self._before = ready.trial.groove, ready.trial.kit_seed
        return ready

    def expect(self, wish: Wish, sample_rate_hz: int, rungs: Callable[[], Sequence[int]]) -> None:
        """Draw the next seed, and let the same wish be rendered with it on each of ``rungs``, the likeliest first.

        Nothing where another seed or record is heard next, or nobody renders.
        """
        if self.rendering is None or self.workers is None or wish.seed is not None or wish.recording is not None:
            return
        self._drawn = self._seed(wish)
        expected = [(replace(wish, rung=rung), self._drawn, sample_rate_hz) for rung in rungs()]
        self.workers.submit(self.rendering.expect, expected)

    def _make(self, wish: Wish, seed: int, sample_rate_hz: int, language: str) -> Ready:
        if self.rendering is not None:
            self.rendering.fetch((wish, seed, sample_rate_hz))
        return make_ready(wish, seed, sample_rate_hz, language)

    @property
    def ready(self) -> bool:
        """Whether ``take`` would return without waiting for a worker."""
        return self._coming is None or self._coming.done()

    def _seed(self, wish: Wish) -> int:
        if wish.seed is not None:
            return wish.seed
        seed, self._drawn = self._new_seed() if self._drawn is None else self._drawn, None
        for _ in range(MOST_DRAWS):
            if not self._comes_again(wish, seed):
                break
            seed = self._new_seed()
        return seed

    def _comes_again(self, wish: Wish, seed: int) -> bool:
        """Whether a groove or a kit that is drawn with ``seed`` is that of the trial before."""
        one, rung = drill(wish.drill), 1 if wish.rung is None else wish.rung
        if wish.recording is not None:
            return False
        groove, kit = self._before
        return (wish.groove is None and one.draws(rung, seed) == groove) or (
            rung > SAME_KITS_TO and one.draws_kits(rung, seed, wish.kit_family)[0] == kit
        )

    def replaying(
        self, player: Player, samples: Samples, trial: Trial, answer: Answer, result: Result, way: str
    ) -> Replaying:
        """What the marked trial, whose sound was ``samples``, is when it is heard again; rendered by the workers."""
        return replaying(
            player, self.workers, trial, answer, result, samples=samples, way=way, language=self.language
        )
