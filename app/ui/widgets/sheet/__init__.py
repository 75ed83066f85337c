"""The count sheet: places, ruled lines, pen strokes, marks and the timing strip."""
