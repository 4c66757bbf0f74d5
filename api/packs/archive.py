"""What the archive of a build pack holds beside the files that are handed out."""

DATA = "service/build-pack.json"
"""Member that holds the service's JSON answer; it is not a file to take away."""
