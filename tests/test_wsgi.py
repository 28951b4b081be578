"""The door for a production server."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def test_a_server_that_has_started_has_loaded_what_draws_the_sheet(tmp_path):
    code = "import sys, workshop.wsgi; print('weasyprint' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env={**os.environ, "DATA_DIR": str(tmp_path)}, capture_output=True,
        text=True, check=True,
    )  # fmt: skip
    assert done.stdout.strip() == "True"
