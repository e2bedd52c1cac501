"""What the owner did not want done, and the risk that it leaves."""
