"""The page *This haul-out*: the short form, the walk, anodes, paint, photos, notes."""
