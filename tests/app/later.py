"""An executor that does its work when the test says so."""

from concurrent.futures import Executor, Future


class Later(Executor):
    """Keeps what is submitted; ``run`` does it, but for what was cancelled meanwhile."""

    def __init__(self) -> None:
        self.futures: list[Future] = []
        self._waiting: list = []

    def submit(self, what, /, *args, **more) -> Future:
        self.futures.append(Future())
        self._waiting.append((self.futures[-1], lambda: what(*args, **more)))
        return self.futures[-1]

    def run(self) -> None:
        waiting, self._waiting = self._waiting, []
        for future, work in waiting:
            if future.set_running_or_notify_cancel():
                future.set_result(work())
