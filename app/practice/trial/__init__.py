"""One trial: drawn, sounding, answered and marked, and looked back at."""
