"""What is asked beyond what was signed, once bays lie open, and its price."""
