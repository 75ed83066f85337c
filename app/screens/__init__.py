"""The screens of the window, one file each."""
