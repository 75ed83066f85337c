"""Files for pupils: what a player hears lies where the truth says, and a MIDI groove does what it is told."""

import json
from pathlib import Path

import mido
import numpy as np
import pytest
import soundfile

from app.cli.commands import main
from app.settings import Settings, save, settings_path
from synth.sound.kit import Kit

pytestmark = pytest.mark.sampled(3)

RATE = 48_000
SOUNDS = {".wav": "PCM_24", ".flac": "PCM_16", ".mp3": "MPEG_LAYER_III", ".ogg": "VORBIS"}


def rendered(folder: Path, ending: str, *words: object) -> tuple[Path, dict]:
    """A record and its truth."""
    out, truth = folder / f"out{ending}", folder / "truth.json"
    assert main(["render", *map(str, words), "--truth", str(truth), str(out)]) == 0
    return out, json.loads(truth.read_text())


def refused(capsys, *words: object) -> str:
    """The one line of a ``render`` that must be refused."""
    assert main(["render", *map(str, words)]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    return err


@pytest.fixture
def midi(tmp_path):
    """Writes a MIDI file with mido alone: quarters of 480 ticks at 120, on a channel (from 0)."""

    def write(name: str, *notes: int, channel: int = 9, metre: int = 4) -> Path:
        track = mido.MidiTrack([mido.MetaMessage("time_signature", numerator=metre, denominator=4)])
        for note in notes:
            track.append(mido.Message("note_on", channel=channel, note=note, velocity=100))
            track.append(mido.Message("note_off", channel=channel, note=note, time=480))
        path = tmp_path / name
        mido.MidiFile(ticks_per_beat=480, tracks=[track]).save(path)
        return path

    return write


@pytest.mark.proof
@pytest.mark.parametrize(
    ("groove", "ending"), [*(("four-on-the-floor", ending) for ending in SOUNDS), ("soul", ".wav")]
)
def test_the_truth_is_what_a_player_hears(tmp_path, groove, ending):
    """Kicks, decoded, lie within 1 ms of the truth: greatest correlation with the kit's kick.

    Of a programmed groove they lie on the beats, of a played one beside them, where the truth has them.

    libsndfile notes an MP3 encoder's delay in the file, and its decoder takes it away.
    """
    words = ("--groove", groove, "--tempo", 120, "--form", "intro:4,verse:4", "--lead-in", "--count", "bars")
    words += ("--count-for", 2)
    out, truth = rendered(tmp_path, ending, *words)
    sound, rate = soundfile.read(out)
    assert (rate, soundfile.info(out).subtype) == (RATE, SOUNDS[ending])
    kick = Kit(0, RATE).take("kick", velocity=0.9).samples[: RATE // 20, 0].astype(np.float64)
    # Without the last bar of a phrase: its fill may leave kicks out.
    beats_s = np.array(truth["beats_s"])[(np.array(truth["bar_number"]) > 0) & (np.array(truth["bar_in_phrase"]) < 4)]
    heard = [np.array(truth["hits"][name]) for name in ("voice", "grid_s", "onset_s")]
    on_beat = (heard[0] == "kick") & (np.abs(heard[1][:, None] - beats_s).min(axis=1) < 1e-6)
    grid_s, onset_s = (column[on_beat] for column in heard[1:])
    errors = []
    for frame in np.rint(onset_s * RATE).astype(int):
        around = sound[frame - 480 : frame + 480 + len(kick), 0]
        errors.append(int(np.argmax(np.correlate(around, kick, "valid"))) - 480)
    assert len(errors) == (24 if groove == "four-on-the-floor" else 12)
    assert np.any(np.abs(onset_s - grid_s) > 0.001) == (groove == "soul")
    assert np.abs(errors).max() < RATE / 1000


def test_an_mp3_notes_the_delay_of_its_encoder(tmp_path):
    """Twelve bits, 21 bytes after "LAME" in the Info tag (revision 1): frames that a player leaves out at first.

    576 is what its encoder adds; a decoder adds 529 of its own, which it knows.
    """
    out, _ = rendered(tmp_path, ".mp3", "--form", "intro:1")
    data = out.read_bytes()
    at = data.index(b"LAME", data.index(b"Info")) + 21
    assert data[at] << 4 | data[at + 1] >> 4 == 576


@pytest.mark.sweep(1)
@pytest.mark.parametrize("ending", SOUNDS)
def test_title_and_comment_are_tags(tmp_path, ending):
    """The title with the tempo, the comment as given; control characters and lone bytes as escapes, cut short.

    In an .mp3, whose tags have no charset of their own, without accents.
    """
    out, _ = rendered(tmp_path, ending, "--form", "intro:1", "--tempo", 96.5, "--groove", "backbeat")
    with soundfile.SoundFile(out) as file:
        assert (file.title, "1 bar of 4/4" in file.comment) == ("backbeat, 96.5 BPM", True)
    hostile = "Mañana\x1b[31m\n\udc80" + "x" * 500
    out, _ = rendered(tmp_path, ending, "--form", "intro:1", "--title", hostile, "--comment", hostile)
    with soundfile.SoundFile(out) as file:
        assert file.title.startswith(("Manana" if ending == ".mp3" else "Mañana") + "\\x1b[31m \\x80xxx")
        assert file.title.endswith(("..." if ending == ".mp3" else "…") + ", 124 BPM")
        assert file.comment.isprintable()
        assert len(file.comment) == (202 if ending == ".mp3" else 200)


@pytest.mark.proof
@pytest.mark.parametrize("ending", [".mp3", ".ogg"])
def test_five_minutes_are_below_8_mb(tmp_path, ending):
    """A full song at a fast tempo, by its bytes a second."""
    words = ("--groove", "broken-beat", "--tempo", 174, "--form", "verse:8", "--song", "--count", "bars")
    out, _ = rendered(tmp_path, ending, *words)
    assert out.stat().st_size / soundfile.info(out).duration * 300 < 8e6


def test_the_lead_in_is_in_the_truth(tmp_path):
    """The counted bar begins at 1 s, bar 1 a bar later (240 / 120 s), and the rest keeps its distances."""
    beats = tmp_path / "beats.txt"
    words = ("--tempo", 120, "--form", "intro:8,verse:4", "--song")
    _, plain = rendered(tmp_path, ".wav", *words)
    out, truth = rendered(tmp_path, ".wav", *words, "--lead-in", "--beats", beats)
    sound, _ = soundfile.read(out)
    assert beats.read_text().splitlines()[:5] == [
        *(f"{1 + beat / 2:.6f}\t0.{beat + 1}" for beat in range(4)),
        "3.000000\t1.1",
    ]
    np.testing.assert_allclose(truth["beats_s"][4:], np.array(plain["beats_s"]) + 3)
    for key in ("sections", "turns"):
        moved = [row.get("start_s", row.get("time_s")) - 3 for row in truth[key]]
        np.testing.assert_allclose(moved, [row.get("start_s", row.get("time_s")) for row in plain[key]], atol=1e-9)
    assert truth["phrase_starts_s"][0] == 3
    assert not sound[: int(0.85 * RATE)].any()
    # A word on every beat of the counted bar, and no drum: the felt beat of "one" is 0.1 s after its begin.
    for beat_s in (1, 1.5, 2, 2.5):
        assert np.abs(sound[int((beat_s - 0.05) * RATE) : int((beat_s + 0.2) * RATE)]).max() > 0.02


def test_the_voice_stops_after_the_bars_that_are_wished(tmp_path):
    """From the third bar on the sound is that without a voice, but for its gain and the limiter."""
    words = ("--tempo", 120, "--form", "intro:4")
    silent, counted, whole = (
        soundfile.read(rendered(tmp_path, ".wav", *words, *more)[0])[0]
        for more in ((), ("--count", "bars", "--count-for", 2), ("--count", "bars"))
    )
    silent = np.concatenate([np.zeros((RATE // 5, 2)), silent])  # where there is a voice its first word comes before
    late, early = slice(5 * RATE, 8 * RATE), slice(2 * RATE, 4 * RATE)

    def unlike(sound: np.ndarray, part: slice) -> float:
        one, other = sound[part].ravel(), silent[part].ravel()
        return 1 - float(one @ other) ** 2 / float(one @ one) / float(other @ other)

    assert unlike(counted, late) < 3e-3 < 1e-2 < min(unlike(counted, early), unlike(whole, late))


def test_the_voice_speaks_the_learners_language(tmp_path, monkeypatch):
    """The one asked for, else that of the settings, else the desktop's; nothing else is different."""
    for name in ("LC_ALL", "LC_MESSAGES"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", "es_AR.UTF-8")
    words = ("--tempo", 120, "--form", "intro:1", "--count", "bars")

    def sound(*more: str) -> bytes:
        out, _ = rendered(tmp_path, ".wav", *words, *more)
        return out.read_bytes()

    spanish, english = sound("--voice", "es"), sound("--voice", "en")
    assert spanish != english
    assert sound() == spanish
    save(Settings(language="en"), settings_path())
    assert sound() == english
    save(Settings(language="en", voice="es"), settings_path())
    assert sound() == spanish


def test_the_first_word_is_whole(tmp_path):
    """With a voice and no lead-in the first beat lies at 0.2 s: "one" begins 0.11 s before its beat."""
    out, truth = rendered(tmp_path, ".wav", "--tempo", 120, "--form", "intro:1", "--count", "bars", "--voice", "en")
    sound, _ = soundfile.read(out)
    assert truth["beats_s"][0] == pytest.approx(0.2)
    assert not sound[: int(0.07 * RATE)].any()
    assert np.abs(sound[int(0.1 * RATE) : int(0.19 * RATE)]).max() > 0.01


def test_a_bar_of_midi_fills_the_form(tmp_path, midi):
    """One bar of kick, hat, snare, hat at 120 becomes eight, with the form's sections and the phrases asked for."""
    loop = midi("loop.mid", 36, 42, 38, 42)
    out, truth = rendered(tmp_path, ".mid", "--groove", loop, "--form", "intro:3,verse:5", "--phrase", 8)
    assert [(s["name"], s["start_s"], s["bars"]) for s in truth["sections"]] == [("intro", 0, 3), ("verse", 6, 5)]
    assert (truth["intro_bars"], truth["phrase_bars"], truth["end_s"]) == (3, 8, 16)
    assert truth["bar_in_phrase"][::4] == [1, 2, 3, 1, 2, 3, 4, 5]
    played = [message.note for message in mido.MidiFile(out) if message.type == "note_on" and message.velocity]
    assert played == [36, 42, 38, 42] * 8


def test_phrases_of_a_midi_file_can_be_chosen(tmp_path, midi):
    """Without a form the file's own bars are played."""
    _, truth = rendered(tmp_path, ".mid", "--groove", midi("nine.mid", *[36, 42, 38, 42] * 9), "--phrase", 8)
    assert truth["bar_in_phrase"][::4] == [*range(1, 9), 1]


@pytest.mark.parametrize(("form", "bars"), [((), 1), (("--form", "verse:3"), 3)])
def test_bar_1_can_begin_later(tmp_path, midi, form, bars):
    """A loop that begins with its fourth beat: what comes before bar 1 is a pick-up, and the loop goes round."""
    words = ("--groove", midi("late.mid", 42, 36, 42, 38), "--bar-1", 2)
    out, truth = rendered(tmp_path, ".mid", *words, *form)
    assert (truth["bar_number"][0], truth["beat_in_bar"][0]) == (0, 4)
    assert truth["ones_s"] == [0.5 + 2 * bar for bar in range(bars)]
    played = [message.note for message in mido.MidiFile(out) if message.type == "note_on" and message.velocity]
    assert played == ([42, 36, 42, 38] if not form else [42, *[36, 42, 38, 42] * 3])


def test_a_pick_up_of_the_file_is_played_once(tmp_path, midi):
    """Two bars of three from the third beat on: with its marker, what is repeated begins with bar 1."""
    path = midi("pick-up.mid", 42, 36, 42, 38, metre=3)
    file = mido.MidiFile(path)
    file.tracks[0][0] = mido.MetaMessage("time_signature", numerator=1, denominator=4)
    file.tracks[0].insert(1, mido.MetaMessage("marker", text="pick-up"))
    file.tracks[0].insert(4, mido.MetaMessage("time_signature", numerator=3, denominator=4))
    file.save(path)
    out, truth = rendered(tmp_path, ".mid", "--groove", path, "--form", "verse:2")
    assert truth["bar_number"] == [0, 1, 1, 1, 2, 2, 2]
    played = [message.note for message in mido.MidiFile(out) if message.type == "note_on" and message.velocity]
    assert played == [42, 36, 42, 38, 36, 42, 38]


def test_drums_on_another_channel_with_notes_of_their_own(tmp_path, midi, capsys):
    """Channel 3 as players count; one note is left out."""
    loop = midi("own.mid", 60, 61, 62, 63, channel=2)
    assert "its notes are on 3" in refused(capsys, "--groove", loop, tmp_path / "a.mid")
    out, _ = rendered(
        *(tmp_path, ".mid", "--groove", loop, "--channel", 3, "--notes", "60=kick, 62=snare,61=shaker,63=none")
    )
    played = [message.note for message in mido.MidiFile(out) if message.type == "note_on" and message.velocity]
    assert played == [36, 70, 38]


def test_what_an_option_cannot_do_is_refused(tmp_path, midi, capsys):
    """In one line that names it, with nothing written."""
    loop, out = midi("loop.mid", 36, 42, 38, 42), tmp_path / "out.mp3"
    for words, told in (
        (("--groove", loop, "--song"), "--song"),
        (("--groove", loop, "--bar-1", 5), "there are 4"),
        (("--groove", loop, "--form", "verse:9999"), "too long"),
        (("--groove", loop, "--channel", 17), "from 1 to 16"),
        (("--groove", loop, "--channel", 4), "not on channel 4"),
        (("--groove", loop, "--notes", "36=kik"), "mean kick"),
        (("--groove", loop, "--notes", "128=kick"), "0 to 127"),
        (("--bar-1", 2), "--bar-1"),
        (("--channel", 2), "--channel"),
        (("--notes", "60=kick"), "--notes"),
        (("--count-for", 2), "--count bars"),
        (("--count", "bars", "--count-for", 0), "from 1"),
        (("--voice", "es"), "--count bars"),
    ):
        assert told in refused(capsys, *words, out)
    for words in (("--lead-in",), ("--voice", "es"), ("--title", "x"), ("--comment", "x")):
        assert words[0] in refused(capsys, *words, tmp_path / "out.mid")
    assert {path.name for path in tmp_path.iterdir()} == {"loop.mid"}
