"""Drills in which the learner taps a beat during the sound, then answers a question."""

from exercises.forms.drill import Drill
from exercises.forms.rungs import R
from exercises.trial.answers import parse_value
from exercises.trial.habit import Habit, Pattern, habit
from exercises.trial.marking import counted_taps, mark_taps, tap_score
from exercises.trial.result import Result, TapMarks
from exercises.trial.trial import Answer, Kind, Trial
from exercises.trial.verdict.tap_verdict import TapWords, how_they_lay, tap_verdict, with_extra
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.score.metre import Count

WORDS = TapWords(
    had_all=Template("told.had_all", "You had the beat every time: {targets} of {targets}."),
    had_most=Template("told.had_most", "You had the beat: {hits} of {targets}."),
    stopped=Template("told.stopped", "You had the beat: {hits} of {targets}. You stopped {n} beats before the end."),
    astray=Template(
        "told.astray", "Your taps kept time, but some beats had no tap, or several. Nod along and tap with every nod."
    ),
    only=Template("told.only", "A single tap for each beat is enough."),
)


class ToldDrill(Drill[R]):
    """A drill answered by taps and a value. Subclasses add question, rungs, ``build`` and ``value_words``.

    Right when both taps and value are; the score is the mean of both.
    """

    kind = Kind.TAPS

    def count_tapped(self, trial: Trial) -> Count:
        """The count to be tapped."""
        return trial.count

    def value_score(self, trial: Trial, given: str | float) -> float:
        """1 for the right value, else 0."""
        return float(given == trial.expected)

    def value_words(self, trial: Trial, given: str | float, score: float, marks: TapMarks, shown: Habit) -> Say:
        """One or two sentences on the value."""
        raise NotImplementedError

    def tap_words(
        self, trial: Trial, marks: TapMarks, shown: Habit, calibrated: bool, *, before: int, after: int
    ) -> tuple[Say, ...]:
        """How right taps lay, or what wrong ones followed, in a sentence or two: see ``tap_verdict``."""
        if shown.pattern is Pattern.TARGETS:
            if marks.extra:
                return (with_extra(marks),)
            if (lay := how_they_lay(marks, trial.period_s, calibrated)) is not None:
                return (lay,)
            if marks.missed:
                return (WORDS.had_most(hits=marks.hits, targets=marks.targets),)
            return (WORDS.had_all(targets=marks.targets),)
        return tap_verdict(marks, shown, WORDS, trial.period_s, calibrated, before=before, after=after)

    def figures(self, trial: Trial, answer: Answer) -> dict[str, float | str | None]:
        """Figures that the drill adds to those of the taps."""
        return {}

    def mark_answer(
        self, trial: Trial, answer: Answer, *, uncertainty_ms: float = 0.0, calibrated: bool = True
    ) -> Result:
        if answer.value is None:
            raise Trouble("no answer was given: after the taps this trial asks for one, such as a line 'answer: ...'")
        given = parse_value(trial, str(answer.value))
        count, period_s, taps_s = self.count_tapped(trial), trial.period_s, answer.taps_s
        marks = mark_taps(trial.targets_s, taps_s, count, period_s, uncertainty_ms)
        counted = counted_taps(trial.targets_s, taps_s, count, period_s)
        shown = habit(trial.targets_s, taps_s[counted], count, period_s, marks)
        tapped, value_score = shown.pattern is Pattern.TARGETS, self.value_score(trial, given)
        words = self.value_words(trial, given, value_score, marks, shown)
        after = taps_s.size - counted.stop
        on_taps = self.tap_words(trial, marks, shown, calibrated, before=counted.start, after=after)
        return Result(
            drill=trial.drill,
            rung=trial.rung,
            seed=trial.seed,
            right=tapped and value_score == 1.0,
            score=(value_score + tap_score(marks)) / 2,
            verdict=(words, *on_taps),
            taps=marks,
            given=given,
            expected=trial.expected,
            figures=self.figures(trial, answer),
        )
