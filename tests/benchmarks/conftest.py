"""Options of the benchmark, and the tables of ratios at its end."""

from __future__ import annotations

import os

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    """Only known where a benchmark is named on the command line."""
    group = parser.getgroup("ratios")
    group.addoption("--sizes", default="1,10,50,100", help="MB of the made-up projects")
    group.addoption("--export", default="", help="OLD,NEW: two real exports to measure")
    group.addoption("--slow", type=float, default=1, help="MB up to which deepdiff and xmldiff run")
    group.addoption("--limit", type=float, default=1800, help="seconds of one step")


def pytest_configure(config: pytest.Config) -> None:
    """Where the costs are collected. The tables below say more than those of pytest-benchmark."""
    if hasattr(config.option, "benchmark_quiet"):
        config.option.benchmark_quiet = True
    config.tables = {}
    config.starts = None


def pytest_terminal_summary(terminalreporter, config: pytest.Config) -> None:
    """The tables: processor seconds, peak memory, and ratios to each yardstick that was measured."""
    write = terminalreporter.write_line
    if config.tables:
        write(f"load of the machine at the end: {os.getloadavg()[0]:.1f}, {os.cpu_count()} cores")
    if config.starts:
        write(f"start-up: {config.starts:.1f} times an empty Python")
    for (title, size), costs in config.tables.items():
        yards = [name for name in ("lxml", "git diff", "deepdiff", "xmldiff") if costs.get(name)]
        write(f"\n{title} ({size:.2f} MB of input)")
        write(f"{'':12} {'s':>8} {'MB':>7} {'(MB-80)/input':>14}" + "".join(f" {'/ ' + n:>11}" for n in yards))
        for name, cost in costs.items():
            if cost is None:
                write(f"{name:12} longer than the limit")
                continue
            ratios = "".join(f" {cost.seconds / max(costs[yard].seconds, 0.001):11.3f}" for yard in yards)
            write(f"{name:12} {cost.seconds:8.2f} {cost.peak:7.0f} {(cost.peak - 80) / size:14.1f}{ratios}")
