"""The window: Qt widgets, languages and themes."""
