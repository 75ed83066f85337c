"""The pool: kits that are kept from record to record, and rendered ahead while nothing else is to be done."""

from collections import OrderedDict
from threading import Lock

from synth.sound.kit import TAKES, Kit
from synth.sound.kits import KITS

# Bytes of samples: beyond them the kit that was not used for longest is dropped.
MOST_BYTES = 256 * 2**20
# What nearly every record needs: voice and a velocity of the force to be rendered.
USUAL = (
    *((voice, 0.8) for voice in ("kick", "snare", "clap", "rim", "closed_hat", "open_hat", "ride")),
    *(("kick", 1.0), ("snare", 1.0), ("crash", 0.8), ("snare", 0.4), ("closed_hat", 0.4)),
)


class Pool:
    """Kits by what they were asked for; see ``MOST_BYTES``."""

    def __init__(self, most_bytes: int = MOST_BYTES) -> None:
        self.most_bytes = most_bytes
        self._kits: OrderedDict[tuple[int, int, float], Kit] = OrderedDict()
        self._lock = Lock()

    @property
    def nbytes(self) -> int:
        return sum(kit.nbytes for kit in self._kits.values())

    def kit(self, seed: int, sample_rate_hz: int, contrast: float = 1.0) -> Kit:
        """The kit of a seed, with what was rendered of it before."""
        key = (seed, sample_rate_hz, contrast)
        with self._lock:
            kit = self._kits.pop(key, None) or Kit(seed, sample_rate_hz, contrast)
            self._kits[key] = kit
            while len(self._kits) > 1 and self.nbytes > self.most_bytes:
                self._kits.popitem(last=False)
        return kit

    def ahead(self, sample_rate_hz: int) -> bool:
        """Render what is usual of one more kit; False when there is none left, or no room."""
        for seed in range(KITS):
            with self._lock:
                if (seed, sample_rate_hz, 1.0) in self._kits:
                    continue
                if self.nbytes > 0.9 * self.most_bytes:
                    return False
            kit = Kit(seed, sample_rate_hz)
            for voice, velocity in USUAL:
                for number in range(TAKES):
                    kit.take(voice, velocity=velocity, number=number)
            with self._lock:
                self._kits.setdefault((seed, sample_rate_hz, 1.0), kit)
            return True
        return False


POOL = Pool()
