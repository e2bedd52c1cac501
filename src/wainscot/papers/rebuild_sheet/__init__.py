"""What the carpenter puts back: each opening, what was taken, what is signed first."""
