"""One trial: drawn, sounding, answered, marked and saved, and looked back at."""
