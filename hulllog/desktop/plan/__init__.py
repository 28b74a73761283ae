"""The page *Plan*."""
