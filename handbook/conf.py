"""What Sphinx is told."""

from wainscot import __version__

project = "wainscot"
author = "the wainscot project"
project_copyright = "Apache-2.0"
release = __version__
extensions = ["myst_parser"]
exclude_patterns = ["_kept", "files"]
myst_heading_anchors = 5
highlight_language = "none"
nitpicky = True
smartquotes = False
html_theme = "alabaster"
html_static_path = ["static"]
html_css_files = ["handbook.css"]
html_theme_options = {
    "description": "Where rats and mice live in a building, how they came in, what to check next",
    "fixed_sidebar": True,
    "page_width": "72rem",
    "sidebar_width": "17rem",
}
html_show_sourcelink = False
html_show_sphinx = False
html_copy_source = False
html_last_updated_fmt = None
