"""What the electrician has to know: where cable was gnawed, what stays open, what to isolate."""
