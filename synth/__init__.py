"""Sound whose truth is known to the sample: metre, drums, records, playback and the one clock. No Qt, no drills."""
