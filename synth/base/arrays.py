"""Array types passed between modules."""

import numpy as np
import numpy.typing as npt

# Times or durations in seconds, (n,).
Seconds = npt.NDArray[np.float64]
# Audio, (frames,) or (frames, channels), within [-1, 1].
Samples = npt.NDArray[np.float32]
Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
