"""The price range of a job for the owner: in stages, what it hangs on, every line."""
