"""The handbook: pages as web pages, those that are generated included.

python -m handbook [FOLDER]      # build/handbook unless another is named

Every warning is an error.  Pages are found from the README's list, so that a page without a line
there stops the build by its name.
"""
