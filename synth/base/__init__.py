"""What every room stands on: sentences as data, trouble, files, folders."""
