"""The tutor's board without a window, on a silent player."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np
import pytest

from app.practice.board.board import Board
from app.practice.board.board_phrase import Beside, BoardPhrase, Hear
from synth.base.errors import Trouble
from synth.base.words import say
from synth.device.faults import Fault, FaultKind
from synth.score.arranging.arrangement import EARLIEST_S
from synth.score.grooves import grooves
from tests.app.later import Later

pytestmark = pytest.mark.sampled(4)

RATE_HZ = 48_000
FAST = BoardPhrase("four-on-the-floor", 240.0)


@pytest.fixture
def board(player) -> Board:
    return Board(player, phrase=FAST)


def at(board, player, beats: float) -> None:
    """Let so many beats of the phrase have been heard since its first one (or where playback began)."""
    lead_s = board._loop.lead_frames / RATE_HZ if board._from_beat == 0 else EARLIEST_S
    player.now_s = player.start_s + lead_s + beats * 60 / board.phrase.tempo_bpm
    board.tick()


class TestModel:
    def test_a_phrase_goes_round_and_the_mark_follows(self, board, player):
        """Before the one there is no mark; after bar 4 comes bar 1."""
        board.play()
        assert player.loop_frames == 4 * RATE_HZ  # 4 bars at 240 BPM: 4 s (240 / BPM seconds a bar)
        board.tick()
        assert board.beat is None
        for beats, beat in ((0.01, 0), (5.5, 5), (15.99, 15), (16.01, 0), (16 * 50 + 7.5, 7)):
            at(board, player, beats)
            assert board.beat == beat

    def test_stop_keeps_the_mark_and_play_goes_on_from_its_bar(self, board, player):
        board.play()
        at(board, player, 9.5)
        board.stop()
        assert not player.playing
        assert board.beat == 9
        board.play()
        at(board, player, 0.01)
        assert board.beat == 8
        at(board, player, 9)
        assert board.beat == 1

    def test_other_drums_and_another_voice_take_over_on_the_same_beat(self, board, player):
        """The count is not broken: the samples are exchanged, nothing starts anew."""
        board.play()
        at(board, player, 6.5)
        for phrase in (
            replace(board.phrase, hear=Hear.KICK),
            replace(board.phrase, hear=Hear.SNARE),
            replace(board.phrase, way="letters"),
            replace(board.phrase, aloud=False),
            replace(board.phrase, beside=Beside.TWO),
        ):
            before = player.samples
            board.choose(phrase)
            board.prepare()
            board.tick()
            assert not np.array_equal(player.samples, before)
            assert (player.plays, board.beat) == (1, 6)
        assert player.exchanges == 5

    def test_another_tempo_starts_on_the_one_of_the_bar(self, board, player):
        board.play()
        at(board, player, 6.5)
        board.choose(board.phrase.at_tempo(120))
        board.tick()
        assert board.beat == 6  # the old one goes on until the new one is ready
        board.prepare()
        assert player.plays == 2
        at(board, player, 0.01)
        assert board.beat == 4
        assert player.loop_frames == 8 * RATE_HZ

    @pytest.mark.parametrize("change", [{"groove": "waltz"}, {"bars": 8}])
    def test_another_groove_or_length_starts_on_the_first_one(self, board, player, change):
        board.play()
        at(board, player, 6.5)
        board.choose(replace(board.phrase, **change))
        board.prepare()
        assert player.plays == 2
        at(board, player, 0.01)
        assert board.beat == 0

    def test_each_step_sounds_one_beat_and_they_go_round(self, board, player):
        board.step(1)
        assert (board.beat, player.loop_frames, player.playing) == (0, 0, True)
        first = player.samples
        board.step(1)
        assert board.beat == 1
        assert len(first) < 3 * RATE_HZ
        board.step(-1)
        np.testing.assert_array_equal(player.samples, first)
        board.step(-1)
        assert board.beat == 15
        board.step(1)
        assert board.beat == 0

    def test_a_step_while_it_sounds_stops_there(self, board, player):
        board.play()
        at(board, player, 6.5)
        board.step(1)
        assert not board.playing
        assert (board.beat, player.loop_frames) == (7, 0)

    def test_with_a_worker_the_latest_wish_is_rendered_last_and_the_old_one_sounds_meanwhile(self, player):
        """A held key makes many lessons: those passed over are not taken."""
        with ThreadPoolExecutor(1) as workers:
            board = Board(player, workers, FAST)
            board.play()
            assert not board.playing
            board._coming[1].result()
            board.tick()
            assert board.playing
            for bars in (8, 16, 4):
                board.choose(replace(board.phrase, bars=bars, hear=Hear.KICK))
                board.prepare()
            while board._coming is not None:
                assert player.loop_frames == 4 * RATE_HZ
                board._coming[1].result()
                board.tick()
            assert board._of == board.phrase
            assert board.phrase.bars == 4

    @pytest.mark.parametrize("rendered", [True, False], ids=["rendered", "being rendered"])
    def test_another_sample_rate_has_it_rendered_anew(self, player, rendered):
        """4 bars at 240 BPM last 4 s at any rate."""
        board = Board(player, later := Later(), FAST)
        board.prepare()
        if rendered:
            later.run()
            board.tick()
        player.sample_rate_hz = 44_100
        board.play()
        while board.busy and not board.playing:
            later.run()
            board.tick()
        assert player.loop_frames == 4 * 44_100

    def test_stop_before_it_is_rendered_means_silence(self, player):
        with ThreadPoolExecutor(1) as workers:
            board = Board(player, workers, FAST)
            board.play()
            board.toggle()
            board._coming[1].result()
            board.tick()
            assert (board.playing, player.plays) == (False, 0)

    def test_trouble_with_the_sound_is_said(self, board, player):
        player.trouble = Trouble("No sound output was found.")
        board.play()
        assert (board.playing, board.notice) == (False, say("No sound output was found."))
        player.trouble = None
        board.play()
        assert (board.playing, board.notice) == (True, None)
        player.playing, player.faults = False, (Fault(FaultKind.STALL, "500"),)
        board.tick()
        assert not board.playing
        assert "too busy for the sound (500 ms)" in str(board.notice)

    def test_a_dropout_does_not_end_the_lesson(self, board, player):
        board.play()
        player.now_s = player.start_s + 2.0
        player.playing, player.faults, plays = False, (Fault(FaultKind.SILENCE),), player.plays
        board.tick()
        assert (board.playing, player.playing, player.plays) == (True, True, plays + 1)
        assert str(board.notice) == "The sound broke off for a moment and began again."
        player.now_s = player.start_s + 2.0
        player.playing, player.faults = False, (Fault(FaultKind.SILENCE),)
        player.trouble = Trouble("No sound output was found.")
        board.tick()
        assert (board.playing, board.notice) == (False, say("No sound output was found."))

    def test_tempo_stays_within_what_can_be_counted_and_a_groove_brings_its_own(self):
        assert FAST.at_tempo(242).tempo_bpm == 240
        assert FAST.at_tempo(39).tempo_bpm == 40
        assert FAST.with_groove("waltz").tempo_bpm == grooves()["waltz"].usual_tempo_bpm
        names, phrase = set(), FAST
        for _ in grooves():
            phrase = phrase.next_groove(1)
            names.add(phrase.groove)
        assert names == set(grooves())
        with pytest.raises(Trouble, match="waltz"):
            FAST.with_groove("walz")
