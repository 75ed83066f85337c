"""Models behind the screens: practice, plan, board, calibrator. No widgets."""
