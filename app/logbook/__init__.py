"""The logbook as it is looked at: read, drawn, told, printed, and handled from the command line."""
