"""One file is one code and edition of structural limits, found by walking this folder."""
