"""The arrays that the rooms hand to each other."""

import numpy as np
import numpy.typing as npt

# Moments or lengths in seconds, (n,).
Seconds = npt.NDArray[np.float64]
# Sound: (frames,) or (frames, channels), within [-1, 1].
Samples = npt.NDArray[np.float32]
Ints = npt.NDArray[np.int64]
