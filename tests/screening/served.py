"""A Dask scheduler in a process of its own, for tests that end it in the middle and start it anew."""

from __future__ import annotations

import asyncio
import os
import socket
from multiprocessing.connection import Connection


def serve(port: int, workers: int, ready: Connection) -> None:
    """Be a scheduler with workers until told to end, or killed."""
    from distributed import Scheduler, Worker

    async def until_told() -> None:
        async with Scheduler(host="127.0.0.1", port=port, dashboard=False) as scheduler:
            for number in range(workers):
                await Worker(scheduler.address, nthreads=1, name=number)
            ready.send(scheduler.address)
            while not ready.poll():
                await asyncio.sleep(0.01)
        os._exit(0)  # the worker would wait for its threads

    asyncio.run(until_told())


class Served:
    """A scheduler that can be ended and started anew at the same address."""

    def __init__(self, workers: int = 1) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.workers = workers
        self.start()

    def start(self) -> None:
        """Start it; it answers when this returns."""
        from distributed.utils import get_mp_context

        context = get_mp_context()
        self.ours, theirs = context.Pipe()
        self.process = context.Process(target=serve, args=(self.port, self.workers, theirs))
        self.process.start()
        theirs.close()  # so that a process that fails is told at once
        self.address = self.ours.recv()

    def end(self, how: str = "killed") -> None:
        """End it at once, or let it take leave."""
        if how == "killed":
            self.process.kill()
        else:
            self.ours.send("close")
        self.process.join()

    def close(self) -> None:
        """End what is left."""
        if self.process.is_alive():
            self.end()
        self.ours.close()
