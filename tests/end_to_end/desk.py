"""A desk to test on: a private X server, a private sound server, a recorder and an injector of key presses.

Nothing of the program is used here. What was heard is known from the recording of the sound server's monitor,
when a key was pressed from the injector: the truth of a trial comes from outside the program.
All moments are ``time.perf_counter()`` seconds, which on Linux is one clock for all processes.
"""

import os
import shutil
import signal
import subprocess
import threading
import time
from contextlib import suppress
from pathlib import Path

import numpy as np
from scipy.optimize import linprog

RATE_HZ = 48_000
NEEDED = ("Xvfb", "pulseaudio", "parec", "pactl")
# The sink's block, as long as the shortest latency that a stream asks for: the recorder's. A shorter one wakes sound
# server, recorder and test more often and tells nothing more.
BLOCK_S = 0.010
LINE_READS = 12_000  # of a block each: the latest two minutes


def missing() -> str:
    """What this computer lacks for a desk, as one line, or the empty string."""
    lacking = [name for name in NEEDED if shutil.which(name) is None]
    if lacking:
        return f"no desk: {', '.join(lacking)} not installed (Debian: xvfb pulseaudio pulseaudio-utils)"
    if not any(Path("/usr/lib").glob("*/alsa-lib/libasound_module_pcm_pulse.so")) and not any(
        Path("/usr").glob("lib*/alsa-lib/libasound_module_pcm_pulse.so")
    ):
        return "no desk: ALSA cannot reach the sound server (Debian: libasound2-plugins)"
    return ""


def wait_for(what, seconds: float, why: str, every_s: float = 0.01):
    """Call ``what`` every so often until it gives something true; a RuntimeError with ``why`` after that long."""
    end_s = time.perf_counter() + seconds
    while time.perf_counter() < end_s:
        found = what()
        if found:
            return found
        time.sleep(every_s)
    raise RuntimeError(why)


def end(process: subprocess.Popen | None, seconds: float = 5.0) -> None:
    """Ask a process of ours to end, and insist after a while."""
    if process is None or process.poll() is not None:
        return
    process.terminate()
    try:
        process.wait(seconds)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


class Desk:
    """Screen and sound of a computer that is nobody's. Use as a context manager."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.env: dict[str, str] = {}
        self.screen: subprocess.Popen | None = None
        self.sound: subprocess.Popen | None = None
        self._jack: subprocess.Popen | None = None

    def __enter__(self) -> "Desk":
        runtime, home = self.folder / "runtime", self.folder / "home"
        for place in (runtime, home):
            place.mkdir(mode=0o700)
        (home / ".asoundrc").write_text("pcm.!default { type pulse }\nctl.!default { type pulse }\n")
        inherited = ("PATH", "LANG", "LC_ALL", "VIRTUAL_ENV", "LD_LIBRARY_PATH")
        self.env = {name: os.environ[name] for name in inherited if name in os.environ}
        self.env |= {"HOME": str(home), "XDG_RUNTIME_DIR": str(runtime), "QT_QPA_PLATFORM": "xcb"}
        # The computer may have a JACK server: the desk has one of its own, or none.
        self.env |= {"JACK_DEFAULT_SERVER": f"desk-{os.getpid()}", "JACK_NO_START_SERVER": "1"}
        try:
            self._start_screen()
            self.start_sound()
        except BaseException:
            self.__exit__()
            raise
        return self

    def __exit__(self, *exc: object) -> None:
        for process in (self._jack, self.sound, self.screen):
            end(process)

    def _start_screen(self) -> None:
        read, write = os.pipe()
        command = ["Xvfb", "-displayfd", str(write), "-screen", "0", "1280x900x24", "-nolisten", "tcp", "-noreset"]
        with (self.folder / "screen.log").open("w") as log:
            self.screen = subprocess.Popen(
                [*command, "-fbdir", str(self.folder)],
                pass_fds=(write,),
                stderr=log,
                env=self.env,
            )
        os.close(write)
        # The screen stands for hardware, which stamps a key when it is pressed however busy the computer is.
        hurry(self.screen.pid)
        with os.fdopen(read) as answer:  # Xvfb writes the number of the display that it found free
            number = answer.readline().strip()
        if not number:
            raise RuntimeError("Xvfb found no free display")
        self.env["DISPLAY"] = f":{number}"

    def pixels(self) -> np.ndarray:
        """The screen itself, (height, width) of 32 bits, which changes as it does.

        Xvfb keeps it in a file of the X Window Dump format, version 7: a head of big-endian words, then colours of 12
        bytes, then the lines.
        """
        path = self.folder / "Xvfb_screen0"
        head = np.fromfile(path, ">u4", 25)
        width, height, line, offset = (int(head[word]) for word in (4, 5, 12, 0))
        offset += 12 * int(head[19])
        return np.memmap(path, "<u4", "r", offset, (height, line // 4))[:, :width]

    def start_sound(self) -> None:
        """Start the sound server (again, after ``kill_sound``) and wait until it answers."""
        sink = f"module-null-sink sink_name=desk rate={RATE_HZ} channels=2 format=float32le"
        command = ["pulseaudio", "--daemonize=no", "--exit-idle-time=-1", "-n", "-L", sink]
        command += ["-L", "module-native-protocol-unix"]
        with (self.folder / "sound.log").open("a") as log:
            self.sound = subprocess.Popen(command, env=self.env, stdout=subprocess.DEVNULL, stderr=log)
        wait_for(self._sound_answers, 10, "the sound server did not answer")

    def _sound_answers(self) -> bool:
        asked = subprocess.run(["pactl", "list", "short", "sinks"], env=self.env, capture_output=True, text=True)
        return "desk" in asked.stdout

    def start_jack(self) -> None:
        """Start a JACK server for MIDI, without a sound card; ``RuntimeError`` where there is no JACK."""
        if self._jack is not None:
            return
        if shutil.which("jackd") is None:
            raise RuntimeError("no MIDI: neither ALSA's sequencer nor jackd is here (Debian: jackd2)")
        name = self.env["JACK_DEFAULT_SERVER"]
        # It stands for hardware, as the screen does: served first, every 1.3 ms.
        command = ["jackd", "--name", name, "-R", "-P", "10", "-d", "dummy", "-r", str(RATE_HZ), "-p", "64"]
        with (self.folder / "jack.log").open("w") as log:
            self._jack = subprocess.Popen(command, env=self.env, stdout=log, stderr=log)
        socket = Path("/dev/shm") / f"jack_{name}_{os.getuid()}_0"
        wait_for(socket.exists, 10, "the JACK server did not start")

    def stop_jack(self) -> None:
        """End the JACK server: a program that looks for another sound output would find it."""
        end(self._jack)
        self._jack = None

    def kill_sound(self) -> None:
        """The sound server dies at once, as in a crash."""
        if self.sound is not None:
            self.sound.send_signal(signal.SIGKILL)
            self.sound.wait()


class Recorder:
    """What the desk's sink plays, and when each sample was played. Use as a context manager."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._pieces: list[np.ndarray] = []
        self._arrivals: list[tuple[int, float]] = []
        self._count = 0
        self._lock = threading.Lock()

    def __enter__(self) -> "Recorder":
        command = ["parec", "-d", "desk.monitor", "--raw", "--format=float32le", f"--rate={RATE_HZ}", "--channels=1"]
        self._process = subprocess.Popen(
            [*command, f"--latency-msec={BLOCK_S * 1e3:g}"], env=self._desk.env, stdout=subprocess.PIPE, bufsize=0
        )
        self._thread = threading.Thread(target=self._read, daemon=True)
        self._thread.start()
        wait_for(lambda: self._count > 0, 10, "the recorder hears nothing from the sound server")
        return self

    def __exit__(self, *exc: object) -> None:
        end(self._process)
        self._thread.join()
        self._process.stdout.close()

    def _read(self) -> None:
        rest = b""
        while piece := os.read(self._process.stdout.fileno(), 65_536):
            arrived_s = time.perf_counter()
            whole = rest + piece
            used = len(whole) // 4 * 4
            rest = whole[used:]
            with self._lock:
                self._pieces.append(np.frombuffer(whole[:used], np.float32))
                self._count += used // 4
            self._arrivals.append((self._count, arrived_s))

    def samples(self, since: int = 0) -> np.ndarray:
        """The recording so far, mono, from sample ``since`` on."""
        with self._lock:
            pieces, first = self._pieces[:], self._count
        wanted = []
        for piece in reversed(pieces):
            if first <= since:
                break
            wanted.append(piece)
            first -= len(piece)
        return np.concatenate(wanted[::-1])[max(since - first, 0) :] if wanted else np.zeros(0, np.float32)

    @property
    def count(self) -> int:
        """Samples recorded so far."""
        return self._count

    def line(self) -> tuple[float, float]:
        """Moment when sample 0 was played, and seconds per sample: a block above the highest line under all arrivals.

        A read is only ever late, so that line touches the earliest ones; found as a linear programme (least sum
        of distances with none negative). The first half second is left out, and what is longer ago than two minutes.
        The null sink hands a block to its monitor when it renders it, one block before it plays it (PulseAudio,
        ``module-null-sink.c``, from memory; with blocks of 2, 5 and 10 ms what was heard moved by as much).
        """
        arrivals = np.array(self._arrivals[-LINE_READS:])
        arrivals = arrivals[arrivals[:, 0] > RATE_HZ // 2]
        if len(arrivals) > 4_000:  # the earliest of each handful is enough
            arrivals = arrivals[: len(arrivals) // 8 * 8].reshape(-1, 8, 2)
            late = arrivals[:, :, 1] - arrivals[:, :, 0] / RATE_HZ
            arrivals = arrivals[np.arange(len(arrivals)), late.argmin(axis=1)]
        x_s, y_s = arrivals[:, 0] / RATE_HZ, arrivals[:, 1] - arrivals[0, 1]
        found = linprog(
            [-len(x_s), -x_s.sum()],
            A_ub=np.column_stack([np.ones_like(x_s), x_s]),
            b_ub=y_s,
            bounds=[(None, None), (0.999, 1.001)],
        )
        offset_s, slope = found.x
        return float(offset_s + arrivals[0, 1]) + BLOCK_S, float(slope / RATE_HZ)


def hurry(process: int, first: bool = True) -> None:
    """Let a process (0: the calling thread) be served before all others, or no more; where that is allowed."""
    try:
        if first:
            os.sched_setscheduler(process, os.SCHED_RR, os.sched_param(1))
        else:
            os.sched_setscheduler(process, os.SCHED_OTHER, os.sched_param(0))
    except OSError:
        pass  # then a press may reach the screen late on a busy computer; ``took_s`` tells


class Hand:
    """Presses keys and the mouse button through XTest; gives the moment just before each press.

    ``took_s`` holds how long each timed press took until the screen had it: nobody knows better when it happened.
    """

    def __init__(self, desk: Desk) -> None:
        from Xlib import XK, X, display
        from Xlib.ext import xtest

        self._display = display.Display(desk.env["DISPLAY"])
        self._names, self._x, self._fake = XK, X, xtest.fake_input
        self.took_s: list[float] = []

    def close(self) -> None:
        """Let go of the screen."""
        self._display.close()

    def _code(self, key: str) -> int:
        return self._display.keysym_to_keycode(self._names.string_to_keysym(key))

    def down(self, key: str) -> float:
        """Press a key (its X name: space, Return, Escape, a) and give the moment."""
        code = self._code(key)
        pressed_s = time.perf_counter()
        self._fake(self._display, self._x.KeyPress, code)
        self._display.sync()
        self.took_s.append(time.perf_counter() - pressed_s)
        return pressed_s

    def up(self, key: str) -> None:
        """Let a key go."""
        self._fake(self._display, self._x.KeyRelease, self._code(key))
        self._display.sync()

    def press(self, key: str, held_s: float = 0.03) -> float:
        """Press a key and let it go; the moment of the press."""
        pressed_s = self.down(key)
        time.sleep(held_s)
        self.up(key)
        return pressed_s

    def press_with(self, held: str, key: str) -> None:
        """Press a key while another one (its X name: Control_L) is held."""
        self.down(held)
        self.press(key)
        self.up(held)

    def wheel(self, notches: int) -> None:
        """Turn the wheel towards the user, where the pointer is: X button 5."""
        for _ in range(notches):
            for event in (self._x.ButtonPress, self._x.ButtonRelease):
                self._fake(self._display, event, 5)
            self._display.sync()
            time.sleep(0.05)

    def press_at(self, key: str, at_s: float) -> float:
        """Press a key (or "mouse") at a moment to come; gives the moment at which it really was."""
        hurry(0)
        try:
            time.sleep(max(at_s - time.perf_counter() - 0.002, 0))
            while time.perf_counter() < at_s:
                pass
            return self.click() if key == "mouse" else self.press(key)
        finally:
            hurry(0, first=False)

    def move(self, x: int, y: int) -> None:
        """Put the pointer somewhere on the screen."""
        self._fake(self._display, self._x.MotionNotify, x=x, y=y)
        self._display.sync()

    def click(self, held_s: float = 0.03) -> float:
        """Press and release the left mouse button where the pointer is; the moment of the press."""
        pressed_s = time.perf_counter()
        self._fake(self._display, self._x.ButtonPress, 1)
        self._display.sync()
        self.took_s.append(time.perf_counter() - pressed_s)
        time.sleep(held_s)
        self._fake(self._display, self._x.ButtonRelease, 1)
        self._display.sync()
        return pressed_s

    def _window(self, title: str, seconds: float):
        """The window of this title, once it is there."""
        from Xlib.error import BadWindow

        def find():
            for window in self._display.screen().root.query_tree().children:
                with suppress(BadWindow):  # gone since
                    if window.get_attributes().map_state == self._x.IsViewable and self._title(window) == title:
                        return window
            return None

        return wait_for(find, seconds, f"no window called {title!r} appeared")

    def focus(self, title: str, seconds: float = 20.0, looks_s: float = 1.0) -> None:
        """Wait for a window of this title and give it the keyboard; nobody manages windows on this desk."""
        self._window(title, seconds).set_input_focus(self._x.RevertToParent, self._x.CurrentTime)
        self._display.sync()
        time.sleep(looks_s)  # a person looks before pressing

    def close_window(self, title: str, seconds: float = 20.0) -> None:
        """Ask a window of this title to close, as its close button does (ICCCM 4.2.8.1, WM_DELETE_WINDOW)."""
        from Xlib.protocol.event import ClientMessage

        window, atom = self._window(title, seconds), self._display.intern_atom
        data = (32, [atom("WM_DELETE_WINDOW"), self._x.CurrentTime, 0, 0, 0])
        window.send_event(ClientMessage(window=window, client_type=atom("WM_PROTOCOLS"), data=data))
        self._display.sync()

    def _title(self, window) -> str:
        title = window.get_full_property(self._display.intern_atom("_NET_WM_NAME"), self._x.AnyPropertyType)
        return title.value.decode() if title is not None else window.get_wm_name() or ""

    def look(self) -> bytes:
        """What stands on the screen now, pixel by pixel, four bytes each."""
        root = self._display.screen().root
        place = root.get_geometry()
        return root.get_image(0, 0, place.width, place.height, self._x.ZPixmap, 0xFFFFFFFF).data

    def turn(self, key: str, seconds: float = 5.0) -> None:
        """Press a key that leads to another page, and wait until that stands there and rests."""
        before = self.look()
        self.press(key)
        wait_for(lambda: self.look() != before, seconds, f"{key} changed nothing on the screen")
        wait_for(self._rests, seconds, "the screen did not come to rest")

    def _rests(self) -> bool:
        before = self.look()
        time.sleep(0.2)
        return self.look() == before

    def picture(self, path: Path) -> None:
        """The screen as a PNG."""
        place = self._display.screen().root.get_geometry()
        raw = np.frombuffer(self.look(), np.uint8)
        _write_png(path, raw.reshape(place.height, place.width, 4)[:, :, 2::-1])


def _write_png(path: Path, rgb: np.ndarray) -> None:
    """A PNG (8 bits, RGB, no filter) with the standard library: signature, IHDR, IDAT, IEND (ISO/IEC 15948)."""
    import struct
    import zlib

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    height, width, _ = rgb.shape
    lines = np.hstack([np.zeros((height, 1), np.uint8), rgb.reshape(height, -1)]).tobytes()
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(lines, 6)) + chunk(b"IEND", b"")
    )


def lead_of(part: np.ndarray, whole: np.ndarray) -> float:
    """Where ``part`` begins in ``whole``, in samples, with a fraction: the peak of their cross-correlation."""
    from scipy.signal import correlate

    heard = correlate(whole, part, mode="valid", method="fft")
    peak = int(np.argmax(heard))
    if 0 < peak < len(heard) - 1:
        # As Python's numbers: float32 would round seconds of the clock to fractions of a millisecond.
        left, middle, right = map(float, heard[peak - 1 : peak + 2])
        bend = left - 2 * middle + right
        return peak + (0.5 * (left - right) / bend if bend else 0.0)
    return float(peak)
