"""The boat's shape: form, parts, faces, places, zones and views.  Pure geometry."""
