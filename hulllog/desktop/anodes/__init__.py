"""The page *Anodes*: where they sit, how they wear against their own past, and why."""
