"""One plain page for whoever lives there: when out, when safe to return, who takes special care."""
