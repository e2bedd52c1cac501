"""Every trap by number and place, every look at it, for somebody who inspects food premises."""
