"""The pool: kits that are kept from record to record."""

from collections.abc import Mapping
from threading import RLock

from synth.sound.kit import Kit

# Bytes of samples: beyond them the kit that was not used for longest is dropped.
MOST_BYTES = 64 * 2**20
# Seed, sample rate in Hz, contrast.
KitKey = tuple[int, int, float]


class Pool:
    """Kits by what they were asked for; see ``MOST_BYTES``."""

    def __init__(self, most_bytes: int = MOST_BYTES) -> None:
        self.most_bytes = most_bytes
        self._kits: dict[KitKey, Kit] = {}  # the one unused for longest first
        self._lock = RLock()

    @property
    def nbytes(self) -> int:
        """Memory of the takes of all its kits, from any thread."""
        with self._lock:
            return sum(kit.nbytes for kit in self._kits.values())

    def kit(self, seed: int, sample_rate_hz: int, contrast: float = 1.0) -> Kit:
        """The kit of a seed, with what was rendered of it before."""
        key = (seed, sample_rate_hz, contrast)
        with self._lock:
            kit = self._kits.pop(key, None) or Kit(seed, sample_rate_hz, contrast)
            self._kits[key] = kit
            while len(self._kits) > 1 and self.nbytes > self.most_bytes:
                del self._kits[next(iter(self._kits))]
        return kit

    def fresh(self) -> Mapping[KitKey, Kit]:
        """Begin anew with no kit; the mapping grows with what is rendered until the next call."""
        with self._lock:
            self._kits = {}
            return self._kits


POOL = Pool()
