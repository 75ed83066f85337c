"""Synthesises the spoken counts of this folder and the table of P-centres: `python assets/counts/make_counts.py`.

Needs espeak-ng (Debian: apt-get install espeak-ng) besides the program's own dependencies. Every word is spoken
twice, at an even pace and short for fast tempos.

The P-centre (perceived beat) of a word is at 0.65 x + 0.25 y + k (Marcus 1981, Percept. Psychophys. 30, 247-256;
from memory): x from the word's onset to the vowel's, y from there to the word's end. The vowel onset is where the
energy between 500 and 1500 Hz grows most. The constant is free, as the formula compares words: here the mean
P-centre lies on the mean vowel onset (the strongest factor: Harsin 1993). The formula is for words of one syllable:
in longer ones the first vowel counts, and y is limited to 0.3 s. The vowel of B, C, D, E and G has its first formant
near 300 Hz, so their band begins at 200 Hz.
"""

import csv
import subprocess
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


def speak(text: str, pace: int) -> tuple[np.ndarray, int]:
    """A word from the synthesiser, mono, and its sample rate."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "word.wav"
        subprocess.run(["espeak-ng", "-v", "en-gb", "-p", "42", "-s", str(pace), "-z", "-w", path, text], check=True)
        return soundfile.read(path)


def envelope(sound: np.ndarray, rate: int, low_hz: float, high_hz: float) -> np.ndarray:
    """RMS between two frequencies in centred windows of 15 ms, hop 2.5 ms."""
    spectrum = np.fft.rfft(sound)
    hz = np.fft.rfftfreq(len(sound), 1 / rate)
    spectrum[(hz < low_hz) | (hz > high_hz)] = 0
    power = np.square(np.fft.irfft(spectrum, len(sound)))
    window = np.hanning(round(0.015 * rate))
    smooth = np.convolve(power, window / window.sum(), mode="same")
    return np.sqrt(np.maximum(smooth[:: round(STEP_S * rate)], 0))


def landmarks(sound: np.ndarray, rate: int, lowest_hz: float) -> tuple[float, float, float]:
    """Onset of the word, onset of its vowel, end of the word, in seconds."""
    whole = envelope(sound, rate, 80, 10000)
    heard = np.flatnonzero(whole > 10 ** (-32 / 20) * whole.max())
    growth = np.diff(envelope(sound, rate, lowest_hz, 1500))[: heard[0] + round(FIRST_VOWEL_S / STEP_S)]
    peaks = np.flatnonzero((growth[1:-1] >= growth[:-2]) & (growth[1:-1] > growth[2:])) + 1
    vowel = peaks[growth[peaks] > 0.6 * growth.max()][0]
    return heard[0] * STEP_S, vowel * STEP_S, heard[-1] * STEP_S


def main() -> None:
    """Write the recordings and the table."""
    rows = []
    for name, text in WORDS.items():
        for pace, speed in PACES.items():
            sound, rate = speak(text, min(speed, 220) if name.isalpha() else speed)
            lowest_hz = 200 if name in "BCDEG" else 500
            begin_s, _, end_s = landmarks(sound, rate, lowest_hz)
            begin, end = max(0, round((begin_s - 0.008) * rate)), round((end_s + 0.03) * rate)
            sound = sound[begin:end]
            for fade, side in ((0.004, slice(None)), (0.03, slice(None, None, -1))):
                n = round(fade * rate)
                sound[side][:n] *= np.sin(np.linspace(0, np.pi / 2, n)) ** 2
            sound *= 0.7 / np.abs(sound).max()
            file = f"{name}-{pace}.flac"
            soundfile.write(HERE / file, sound, rate, subtype="PCM_16")
            onset_s, vowel_s, end_s = landmarks(sound, rate, lowest_hz)
            rows.append([file, text, pace, onset_s, vowel_s, end_s])
    x = np.array([row[4] - row[3] for row in rows])
    y = np.minimum([row[5] - row[4] for row in rows], LONGEST_Y_S)
    felt = 0.65 * x + 0.25 * y
    felt += np.mean(x - felt)
    with (HERE / "counts.csv").open("w", newline="", encoding="utf-8") as out:
        table = csv.writer(out, lineterminator="\n")
        table.writerow(["file", "word", "pace", "onset_ms", "vowel_onset_ms", "end_ms", "p_centre_ms"])
        for row, late in zip(rows, felt, strict=True):
            times = [row[3], row[4], row[5], row[3] + late]
            table.writerow([*row[:3], *(f"{1000 * time:.1f}" for time in times)])


if __name__ == "__main__":
    main()
