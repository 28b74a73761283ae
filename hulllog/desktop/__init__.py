"""The window: pages, shared widgets, background work.  The only room that reaches Qt."""
