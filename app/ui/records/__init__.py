"""The page Records: the list, and the sheet of one record, on which its count is confirmed by ear."""
