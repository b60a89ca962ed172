"""A pool of one thread that a QObject owns, and that ends before its owner does."""

from PySide6.QtCore import QObject, QThreadPool


def make_pool(owner: QObject) -> QThreadPool:
    """Return a pool of one thread that goes with its owner.

    Qt waits for a pool's work when it deletes the pool, with Python's lock held if
    Python lets the owner go, and work in Python then never ends. So the wait comes
    before, when the lock is let go meanwhile.
    """
    pool = QThreadPool(owner)
    pool.setMaxThreadCount(1)

    def wind_up() -> None:
        pool.clear()
        pool.waitForDone()

    owner.destroyed.connect(wind_up)
    return pool
