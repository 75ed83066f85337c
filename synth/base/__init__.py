"""Translatable sentences, errors, files and folders, shared by all packages."""
