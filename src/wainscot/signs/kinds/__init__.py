"""One file, one kind of sign; each holds a ``KIND`` and is found by walking this folder."""
