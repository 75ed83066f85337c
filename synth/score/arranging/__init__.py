"""From groove and form to a record with its truth: the drummer, the song, turns; and what is made of records."""
