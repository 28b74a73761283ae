"""The page *Today*: what wants attention now, each line a door, and the last proven backup."""
