"""A bench beside the price: a stop item can fail here too."""

from tests.bench.conftest import bench, instruments

__all__ = ["bench", "instruments"]
