"""What is shown of a trial: sheet, question, answers, result."""
