"""The page *Hull*: one large drawing, the other views, and the sheet of what is picked."""
