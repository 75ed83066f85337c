"""Today's plan: how it is made, kept and followed, and the placement run."""
