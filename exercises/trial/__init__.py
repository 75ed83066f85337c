"""One trial: question, answer, marking, verdict, record."""
