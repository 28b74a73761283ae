"""The window: pages, shared widgets, background work.  The only room that reaches Qt."""

# Before any of Qt: once it is imported, the source of every module that follows is read and
# searched.  These are what the first picture needs.
import hulllog.drawing.strip
import hulllog.insight.matters
import hulllog.insight.timeline  # noqa: F401
