"""Synthesises the spoken counts of this folder and the tables of P-centres: `python assets/counts/make_counts.py`.

Needs espeak-ng (Debian: apt-get install espeak-ng) besides the program's own dependencies. Every word is spoken
twice, at an even pace and short for fast tempos. `es` as an argument makes the Spanish words alone, `en` the others.

The P-centre (perceived beat) of a word is at 0.65 x + 0.25 y + k (Marcus 1981, Percept. Psychophys. 30, 247-256;
from memory): x from the word's onset to the vowel's, y from there to the word's end. The vowel onset is where the
energy between 500 and 1500 Hz grows most. The constant is free, as the formula compares words: here the mean
P-centre lies on the mean vowel onset (the strongest factor: Harsin 1993). The formula is for words of one syllable:
in longer ones the first vowel counts, and y is limited to 0.3 s. The vowel of B, C, D, E and G has its first formant
near 300 Hz, so their band begins at 200 Hz.

In Spanish, where most first vowels are such, the synthesiser itself says where its phonemes begin: the energy above
200 Hz is searched from the first vowel or glide until 40 ms into the vowel.
"""

import csv
import ctypes
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
import soundfile

HERE = Path(__file__).parent
ONES = "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen"
NUMBERS = [*ONES.split(), "eighteen", "nineteen", "twenty"]
NUMBERS += [f"twenty {word}" for word in NUMBERS[:9]] + ["thirty", "thirty one", "thirty two"]
WORDS = {f"{number:02}": text for number, text in enumerate(NUMBERS, start=1)} | {
    letter: letter for letter in "ABCDEFG"
}
PACES = {"even": 165, "short": 310}  # words a minute
LONGEST_Y_S = 0.3
FIRST_VOWEL_S = 0.17  # into the word at the latest
STEP_S = 0.0025

UNOS = "uno dos tres cuatro cinco seis siete ocho nueve diez once doce trece catorce quince dieciséis diecisiete"
NUMEROS = f"{UNOS} dieciocho diecinueve veinte veintiuno veintidós veintitrés veinticuatro veinticinco veintiséis"
SPANISH = [*NUMEROS.split(), "veintisiete", "veintiocho", "veintinueve", "treinta", "treinta y uno", "treinta y dos"]
PALABRAS = {f"{number:02}": text for number, text in enumerate(SPANISH, start=1)} | dict(
    zip("ABCDEFG", ["a", "be", "ce", "de", "e", "efe", "ge"], strict=True)
)
EVEN_PACE = 165
# A short word takes the slowest of these paces at which it lasts at most SHORT_S, two words of a beat at 240 BPM.
SHORT_PACES = range(200, 421, 20)
SHORT_S = 0.2
INTO_VOWEL_S = 0.04


def speak(text: str, pace: int) -> tuple[np.ndarray, int]:
    """A word from the synthesiser, mono, and its sample rate."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "word.wav"
        subprocess.run(["espeak-ng", "-v", "en-gb", "-p", "42", "-s", str(pace), "-z", "-w", path, text], check=True)
        return soundfile.read(path)


class _Id(ctypes.Union):
    _fields_ = (("number", ctypes.c_int), ("name", ctypes.c_char_p), ("string", ctypes.c_char * 8))


class _Event(ctypes.Structure):
    """``espeak_EVENT`` of speak_lib.h."""

    _fields_ = (
        *((name, ctypes.c_int) for name in ("type", "unique", "text", "length", "audio_ms", "sample")),
        ("user", ctypes.c_void_p),
        ("id", _Id),
    )


class Spanish:
    """The synthesiser's Spanish voice, which says where phonemes begin (espeakEVENT_PHONEME of speak_lib.h)."""

    PHONEME, SYNCHRONOUS, RATE, PITCH, UTF8 = 7, 2, 1, 3, 1

    def __init__(self) -> None:
        self._engine = ctypes.CDLL("libespeak-ng.so.1")
        self.rate: int = self._engine.espeak_Initialize(self.SYNCHRONOUS, 0, None, 1)
        self._engine.espeak_SetVoiceByName(b"es")
        self._sound: list[np.ndarray] = []
        self._phonemes: list[tuple[float, str]] = []
        kind = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.POINTER(_Event))
        self._callback = kind(self._take)
        self._engine.espeak_SetSynthCallback(self._callback)

    def _take(self, samples, count: int, events) -> int:
        if samples and count:
            self._sound.append(np.ctypeslib.as_array(samples, (count,)) / 32768)
        at = 0
        while events[at].type:
            if events[at].type == self.PHONEME:
                self._phonemes.append((events[at].sample / self.rate, events[at].id.string.decode()))
            at += 1
        return 0

    def speak(self, text: str, pace: int) -> tuple[np.ndarray, tuple[float, float]]:
        """A word, mono, and when its first vowel or glide and its first vowel begin, in seconds."""
        self._sound, self._phonemes = [], []
        self._engine.espeak_SetParameter(self.RATE, pace, 0)
        self._engine.espeak_SetParameter(self.PITCH, 42, 0)
        data = text.encode()
        self._engine.espeak_Synth(data, len(data) + 1, 0, 1, 0, self.UTF8, None, None)
        self._engine.espeak_Synchronize()
        sounding_s = next(at for at, name in self._phonemes if name[0] in "aeioujw")
        vowel_s = next(at for at, name in self._phonemes if name[0] in "aeiou")
        return np.concatenate(self._sound), (sounding_s, vowel_s)


def envelope(sound: np.ndarray, rate: int, low_hz: float, high_hz: float) -> np.ndarray:
    """RMS between two frequencies in centred windows of 15 ms, hop 2.5 ms."""
    spectrum = np.fft.rfft(sound)
    hz = np.fft.rfftfreq(len(sound), 1 / rate)
    spectrum[(hz < low_hz) | (hz > high_hz)] = 0
    power = np.square(np.fft.irfft(spectrum, len(sound)))
    window = np.hanning(round(0.015 * rate))
    smooth = np.convolve(power, window / window.sum(), mode="same")
    return np.sqrt(np.maximum(smooth[:: round(STEP_S * rate)], 0))


def landmarks(
    sound: np.ndarray, rate: int, lowest_hz: float, within_s: tuple[float, float] | None = None
) -> tuple[float, float, float]:
    """Onset of the word, onset of its vowel (searched ``within_s``), end of the word, in seconds."""
    whole = envelope(sound, rate, 80, 10000)
    heard = np.flatnonzero(whole > 10 ** (-32 / 20) * whole.max())
    growth = np.diff(envelope(sound, rate, lowest_hz, 1500))
    if within_s is not None:
        first, last = (max(0, round(at / STEP_S)) for at in within_s)
        return heard[0] * STEP_S, (first + int(np.argmax(growth[first:last]))) * STEP_S, heard[-1] * STEP_S
    growth = growth[: heard[0] + round(FIRST_VOWEL_S / STEP_S)]
    peaks = np.flatnonzero((growth[1:-1] >= growth[:-2]) & (growth[1:-1] > growth[2:])) + 1
    vowel = peaks[growth[peaks] > 0.6 * growth.max()][0]
    return heard[0] * STEP_S, vowel * STEP_S, heard[-1] * STEP_S


def trimmed(sound: np.ndarray, rate: int, begin_s: float, end_s: float) -> tuple[np.ndarray, float]:
    """A word with short fades at -3 dB, and the seconds cut off before it."""
    begin, end = max(0, round((begin_s - 0.008) * rate)), round((end_s + 0.03) * rate)
    sound = sound[begin:end].copy()
    for fade, side in ((0.004, slice(None)), (0.03, slice(None, None, -1))):
        n = round(fade * rate)
        sound[side][:n] *= np.sin(np.linspace(0, np.pi / 2, n)) ** 2
    return sound * (0.7 / np.abs(sound).max()), begin / rate


def english() -> None:
    """Write the English recordings and their table."""
    rows = []
    for name, text in WORDS.items():
        for pace, speed in PACES.items():
            sound, rate = speak(text, min(speed, 220) if name.isalpha() else speed)
            lowest_hz = 200 if name in "BCDEG" else 500
            begin_s, _, end_s = landmarks(sound, rate, lowest_hz)
            sound, _ = trimmed(sound, rate, begin_s, end_s)
            file = f"{name}-{pace}.flac"
            soundfile.write(HERE / file, sound, rate, subtype="PCM_16")
            rows.append([file, text, pace, *landmarks(sound, rate, lowest_hz)])
    write_table(HERE, rows)


def spanish() -> None:
    """Write the Spanish recordings and their table."""
    rows, voice = [], Spanish()
    (HERE / "es").mkdir(exist_ok=True)
    for name, text in PALABRAS.items():
        for pace in PACES:
            for speed in SHORT_PACES if pace == "short" else (EVEN_PACE,):
                sound, (sounding_s, vowel_s) = voice.speak(text, speed)
                begin_s, _, end_s = landmarks(sound, voice.rate, 200, (sounding_s, vowel_s + INTO_VOWEL_S))
                if end_s - begin_s <= SHORT_S:
                    break
            sound, cut_s = trimmed(sound, voice.rate, begin_s, end_s)
            file = f"{name}-{pace}.flac"
            soundfile.write(HERE / "es" / file, sound, voice.rate, subtype="PCM_16")
            within_s = (sounding_s - cut_s, vowel_s - cut_s + INTO_VOWEL_S)
            rows.append([file, text, pace, *landmarks(sound, voice.rate, 200, within_s)])
    write_table(HERE / "es", rows)


def write_table(folder: Path, rows: list[list]) -> None:
    """Write the table of words with onset, vowel onset and end in seconds, and their P-centres."""
    x = np.array([row[4] - row[3] for row in rows])
    y = np.minimum([row[5] - row[4] for row in rows], LONGEST_Y_S)
    felt = 0.65 * x + 0.25 * y
    felt += np.mean(x - felt)
    with (folder / "counts.csv").open("w", newline="", encoding="utf-8") as out:
        table = csv.writer(out, lineterminator="\n")
        table.writerow(["file", "word", "pace", "onset_ms", "vowel_onset_ms", "end_ms", "p_centre_ms"])
        for row, late in zip(rows, felt, strict=True):
            times = [row[3], row[4], row[5], row[3] + late]
            table.writerow([*row[:3], *(f"{1000 * time:.1f}" for time in times)])


if __name__ == "__main__":
    for language, make in (("en", english), ("es", spanish)):
        if language in (sys.argv[1:] or ("en", "es")):
            make()
