"""What is kept: the model, the logbook, its journal and media."""
