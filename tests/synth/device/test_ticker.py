"""The soft tick of a tap: its sound, its stream, and when there is none."""

from types import SimpleNamespace

import numpy as np
import pytest

from synth.base.errors import Trouble
from synth.base.words import say
from synth.device.ticker import BLOCK_FRAMES, Ticker, soft_tick

RATE_HZ = 48_000


class Output:
    """Opens streams and remembers them; ``refuses`` lets it open none."""

    def __init__(self) -> None:
        self.streams, self.refuses = [], False

    def __call__(self, *, callback, **how):
        if self.refuses:
            raise Trouble(say("No."))
        stream = SimpleNamespace(started=False, closed=False, callback=callback, how=how)
        stream.start = lambda: setattr(stream, "started", True)
        stream.close = lambda: setattr(stream, "closed", True)
        self.streams.append(stream)
        return stream


@pytest.fixture
def player():
    return SimpleNamespace(device=None, sample_rate_hz=RATE_HZ, gain=0.5)


@pytest.fixture
def output() -> Output:
    return Output()


def heard(ticker, blocks: int = 20, channels: int = 2) -> np.ndarray:
    out = []
    for _ in range(blocks):
        block = np.full((BLOCK_FRAMES, channels), 9.0, np.float32)
        ticker._callback(block, BLOCK_FRAMES, None, None)
        out.append(block)
    return np.concatenate(out)


def test_the_tick_is_soft_and_short():
    tick = soft_tick(RATE_HZ)
    assert 0.02 < np.abs(tick).max() < 0.1
    assert np.abs(tick[round(0.02 * RATE_HZ) :]).max() < 0.001


def test_a_tap_is_one_tick_at_the_volume_and_silence_otherwise(player, output):
    ticker = Ticker(player, on=True, open_stream=output)
    ticker.begin()
    assert not heard(ticker).any()
    ticker.tick()
    sound = heard(ticker)
    np.testing.assert_allclose(sound[: len(soft_tick(RATE_HZ)), 1], 0.5 * soft_tick(RATE_HZ), atol=1e-7)
    assert not sound[len(soft_tick(RATE_HZ)) :].any()
    ticker.tick()
    assert heard(ticker, channels=1).any()


def test_no_stream_is_open_where_none_is_wanted_and_it_follows_the_players_output(player, output):
    ticker = Ticker(player, open_stream=output)
    ticker.begin()
    ticker.tick()
    assert output.streams == []
    ticker.on = True
    ticker.begin()
    ticker.begin()
    assert [each.started for each in output.streams] == [True]
    player.device = "Another output"
    ticker.begin()
    assert [each.closed for each in output.streams] == [True, False]
    ticker.on = False
    ticker.begin()
    assert output.streams[-1].closed


def test_an_output_that_refuses_a_second_stream_gives_no_tick(player, output):
    output.refuses = True
    ticker = Ticker(player, on=True, open_stream=output)
    ticker.begin()
    ticker.tick()
    output.refuses = False
    ticker.begin()
    assert len(output.streams) == 1
