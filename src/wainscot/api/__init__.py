"""HTTP over the walk and the record: what a firm's phones and its office talk to.

    wainscot serve            one person, this machine only, no login
    wainscot serve --lan      the office's network: TLS, accounts, phones

Thin: a route says what it needs (:mod:`wainscot.api.rights`), calls one function of the store or
asks for a walk, and returns frozen data (:mod:`wainscot.api.shapes`).  What is wrong is told as
problem+json in the words of the one catalogue (:data:`wainscot.errors.SERVER`).  Nothing here calls
out: the server answers, it never asks anybody.

Limits: one process on one machine; see ``docs/server.md`` for what it protects and what not.
"""
