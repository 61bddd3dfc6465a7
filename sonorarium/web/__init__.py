"""The workbench: the whole job in the browser, served from this computer to this computer alone."""
