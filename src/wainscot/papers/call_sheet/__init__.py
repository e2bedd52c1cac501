"""The questions of the first call, a blank form that shows what the job already holds."""
