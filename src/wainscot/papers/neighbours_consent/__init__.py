"""What a neighbour is asked: which ways are on their side, and what is done if they say no."""
