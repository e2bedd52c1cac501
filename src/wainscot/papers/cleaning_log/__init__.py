"""What was wetted when, how long it stayed wet, what came of it, who was inside."""
