"""Endpoints: a few lines each, that ask a service and answer."""
