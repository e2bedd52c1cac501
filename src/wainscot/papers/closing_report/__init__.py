"""Is it over: the all-clear with its chance and limits, what was done, what stays, the warranty."""
