"""Photos on paper: upright, small, without place and device; numbered in the list and on the plan.

    held, lost = photos_of(job, bytes_of)          # clean copies, by the hash of the original
    known = answers(walked, job, photos=held)
    pictured(known, say, ("find",))                # what a paper shows, with captions
    photo_plans(known, say)                        # a plan a storey, with the same numbers

A photo has one number in a job, whatever paper it stands on.  The original bytes are read, never
written.
"""

from wainscot.papers.photo_list.clean import PhotoError, photo_of, photos_of
from wainscot.papers.photo_list.shown import photo_plans, pictured
from wainscot.papers.photo_list.taken import SORTS, Sort, Taken, hashes_of, taken

__all__ = [
    "SORTS",
    "PhotoError",
    "Sort",
    "Taken",
    "hashes_of",
    "photo_of",
    "photo_plans",
    "photos_of",
    "pictured",
    "taken",
]
