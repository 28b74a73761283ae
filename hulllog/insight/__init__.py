"""What the records say: condition over time, anode wear, paint, what is due; codes and values."""
