"""The bench that hand over rests on."""

from tests.bench.conftest import bench, instruments

__all__ = ["bench", "instruments"]
