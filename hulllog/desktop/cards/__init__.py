"""Rating and blister entry from our own cards, for any page that rates something."""
