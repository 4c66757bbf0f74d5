"""The durable table of studies: the truth that servers and workers share."""
