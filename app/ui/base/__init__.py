"""What every widget stands on: the theme, the language, its words and numbers."""
