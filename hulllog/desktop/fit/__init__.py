"""The part of the window that asks whether the work fits a slot, and shows the answer."""
