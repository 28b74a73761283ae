"""Pictures described once: a scene of paths and texts in millimetres, and its painters' ground."""
