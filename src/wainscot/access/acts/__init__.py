"""One file, one act: each holds an ``ACT`` and is found by walking this folder."""
