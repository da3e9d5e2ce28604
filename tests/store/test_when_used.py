"""Parts of Python that wait until somebody uses them."""

import subprocess
import sys

import pytest

FIRST_USES = {
    "asyncio": "import asyncio; print(asyncio.run(asyncio.sleep(0, 'slept')))",
    "hashlib": "from hashlib import sha256; print(sha256(b'').hexdigest()[:8])",
    "importlib.metadata": "import importlib.metadata as m; print(m.version('sqlalchemy').split('.')[0])",
    "sysconfig": "import sysconfig; print(sysconfig.get_config_var('py_version_nodot'))",
    "asyncio.queues": "import asyncio.queues as queues; print(queues.Queue().qsize())",
}
GIVES = {
    "asyncio": "slept",
    "hashlib": "e3b0c442",
    "importlib.metadata": "2",
    "sysconfig": f"{sys.version_info[0]}{sys.version_info[1]}",
    "asyncio.queues": "0",
}


@pytest.mark.parametrize("part", FIRST_USES)
def test_the_first_use_brings_the_part_itself(part: str) -> None:
    text = (
        "import sys, annual_planner.store.when_used as waits\n"
        "import sqlalchemy.orm\n"
        f"assert isinstance(sys.modules[{part.removesuffix('.queues')!r}], waits.StandIn)\n"
        f"{FIRST_USES[part]}\n"
        f"assert not isinstance(sys.modules[{part!r}], waits.StandIn)\n"
    )
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout.strip()) == (0, GIVES[part]), done.stderr


def test_sqlalchemy_uses_none_of_them_on_its_own() -> None:
    text = (
        "import sys, annual_planner.store.when_used as waits\n"
        "import annual_planner.store.fleet_reads, annual_planner.store.opening\n"
        "print([part for part in waits.PARTS if not isinstance(sys.modules[part], waits.StandIn)])\n"
    )
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
