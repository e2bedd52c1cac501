"""One file, one hazard: each holds a ``HAZARD`` and is found by walking this folder."""
