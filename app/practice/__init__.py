"""Models behind the screens: practice, plan, board, bench. Plain Python, no widget."""
