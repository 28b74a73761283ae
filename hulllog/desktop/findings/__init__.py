"""The page *Findings*: what wants watching or action, with what was seen and done of it."""
