"""How often a widget flashes, from its rendered frames (WCAG 2.2, 2.3.1 and the definition of relative luminance)."""

import numpy as np
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

_SHARES = np.arange(256) / 255
_LINEAR = np.where(_SHARES <= 0.04045, _SHARES / 12.92, ((_SHARES + 0.055) / 1.055) ** 2.4)


def frame(widget: QWidget) -> np.ndarray:
    """The widget as it is painted, (height, width, 3), 8 bits a colour."""
    image = widget.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
    flat = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    return flat[:, : 3 * image.width()].reshape(image.height(), image.width(), 3).copy()


def most_flashes(frames: list[np.ndarray], frames_a_second: int) -> int:
    """The most flashes that any pixel makes within a second.

    A flash is a pair of opposing changes of relative luminance of 0.1 or more where the darker is below 0.8. Pixels
    that never change are left out of the calculation. Raises AssertionError where no pixel changes by 0.1.
    """
    changed = np.zeros(frames[0].shape, bool)
    for each in frames[1:]:
        changed |= each != frames[0]
    moving = changed.any(axis=2)
    light = np.array([_LINEAR[each[moving]] @ [0.2126, 0.7152, 0.0722] for each in frames])
    steps = np.abs(np.diff(light, axis=0))
    assert steps.max(initial=0.0) >= 0.1, "nothing moves"
    changes = (steps >= 0.1) & (np.minimum(light[1:], light[:-1]) < 0.8)
    return max(
        int(changes[at : at + frames_a_second].sum(axis=0).max()) // 2
        for at in range(len(changes) - frames_a_second + 1)
    )
