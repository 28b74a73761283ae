"""The page *Papers*: the condition history, what was issued, surveys and their proof, documents."""
