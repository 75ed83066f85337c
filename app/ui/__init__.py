"""The window: Qt widgets, their language and their look."""
