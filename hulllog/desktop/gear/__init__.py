"""The page *Gear*."""
