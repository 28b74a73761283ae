"""What a person does with a logbook: one module a subject, one function a user action.

Each function takes the logbook first and what was typed by keyword, checks it, raises ``Refused``
with the field it stands in, and writes one journal entry.  It returns the key of what it made.
"""
