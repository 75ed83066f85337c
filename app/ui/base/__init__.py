"""Theme, language, and formatting of words and numbers for all widgets."""
