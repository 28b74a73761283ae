"""The page of old haul-outs: many at a time, from notes, from a file, from the photo roll."""
