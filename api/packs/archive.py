"""What is kept of a build pack: the archive that is handed out, and the service's answer."""

DATA = "service/build-pack.json"
"""Member that holds the service's JSON answer; it is not a file to take away."""

FILES = "service/files.zip"
"""Member that holds the archive of all files as it is handed out, not packed once more."""
