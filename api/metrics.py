"""Figures of the service for Prometheus."""

from __future__ import annotations

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, generate_latest

_BUCKETS = (0.002, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0)


class ServiceMetrics:
    """Counters, gauges and histograms of one server."""

    def __init__(self) -> None:
        """A registry of its own: several servers in one process, as in tests, do not share
        figures."""
        self.registry = CollectorRegistry()
        self.requests = Counter(
            "closet_requests",
            "Requests answered.",
            ["method", "route", "status"],
            registry=self.registry,
        )
        self.request_seconds = Histogram(
            "closet_request_seconds",
            "Time to the end of an answer; event streams are left out [s].",
            ["method", "route"],
            buckets=_BUCKETS,
            registry=self.registry,
        )
        self.studies = Gauge(
            "closet_studies", "Studies in the store.", ["state"], registry=self.registry
        )
        self.workers = Gauge(
            "closet_workers_ready", "Workers ready or at work.", registry=self.registry
        )
        self.streams = Gauge("closet_event_streams", "Open event streams.", registry=self.registry)
        self.accepted = Counter(
            "closet_studies_accepted", "Studies accepted.", ["answer"], registry=self.registry
        )
        self.refused = Counter(
            "closet_studies_refused", "Studies refused.", ["code"], registry=self.registry
        )
        self.queue_age = Gauge(
            "closet_queue_age_seconds",
            "How long the study has waited that waits longest [s].",
            registry=self.registry,
        )
        self.run_seconds = Histogram(
            "closet_run_seconds",
            "Time from a study's claim to the end of its run, however it ended [s].",
            buckets=_BUCKETS,
            registry=self.registry,
        )
        self.calculations = Counter(
            "closet_calculations", "Calculations started.", ["name"], registry=self.registry
        )
        self.runs_closed = Counter(
            "closet_runs_closed",
            "Runs that did not end by themselves.",
            ["death"],
            registry=self.registry,
        )
        self.workers_started = Counter(
            "closet_workers_started", "Worker processes started.", registry=self.registry
        )

    def text(self) -> bytes:
        """Every figure in Prometheus's text format."""
        return generate_latest(self.registry)
