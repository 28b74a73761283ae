"""What leaves the program: condition histories on paper, from the records as they stand."""
