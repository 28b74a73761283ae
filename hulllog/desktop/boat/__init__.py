"""The page *Boat*: her particulars and zones, where she lies, what happened, settings, safety."""
