"""Models behind the screens: practice, plan, board, bench. No widgets."""
