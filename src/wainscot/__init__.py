"""Where rats and mice live inside a building, how they came in, and what to check next.

The package follows the order of the job, one folder a step, and each step reads only the steps
above it: ``plan`` (what was drawn), ``voids`` (the spaces nobody sees and the ways between them),
``signs`` (what was found, and what was looked for and not found), ``diagnosis`` (what we think),
``walk`` (the steps in order), ``cli`` (the commands).  Below all of them lies the ground:
quantities, errors, sources, species, the firm's book, the record and the job.
"""

__version__ = "0.1.0"
