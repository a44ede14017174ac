"""The wheel: built from the checkout, installed alone into an empty environment, and used from there."""

import json
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("dist")
    done = subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--outdir", str(out), str(ROOT)],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode and "No matching distribution" in done.stdout + done.stderr:
        pytest.skip("no package registry in reach to build with")
    assert done.returncode == 0, done.stdout + done.stderr
    (path,) = out.glob("*.whl")
    return path


def test_the_wheel_carries_vocabulary_templates_and_licences(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    for part in ("vocab", "templates"):
        shipped = {f"pipeline/{path.relative_to(ROOT)}" for path in (ROOT / part).rglob("*") if path.is_file()}
        assert shipped
        assert shipped <= set(names)
    modules = {str(path.relative_to(ROOT)) for path in (ROOT / "pipeline").rglob("*.py")}
    assert modules <= set(names)
    assert any(name.endswith("licenses/LICENSE") for name in names)
    assert any(name.endswith("licenses/THIRD_PARTY.md") for name in names)
    assert not any(name.startswith(("tests/", "tools/", "samples/")) for name in names)


def test_the_wheel_works_in_an_empty_environment(wheel: Path, tmp_path: Path) -> None:
    place = tmp_path / "env"
    venv.create(place, with_pip=True)
    python = place / "bin" / "python"
    done = subprocess.run(
        [str(python), "-m", "pip", "install", "-q", "--no-compile", str(wheel)],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode and "No matching distribution" in done.stderr:
        pytest.skip("no package registry in reach to install from")
    assert done.returncode == 0, done.stderr
    (tmp_path / "talk.txt").write_text(
        "[0:00] right so the lay shaft goes in with a new circlip\n"
        "[0:06] and the drain plug is torqued to twenty five newton metres\n"
    )
    done = subprocess.run(
        [str(place / "bin" / "witnessmark"), "run", "talk.txt", "--into", "log"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode in (0, 1), done.stderr
    log = json.loads((tmp_path / "log" / "log.json").read_text())
    assert [(qty["kind"], qty["value"], qty["unit"]) for qty in log["quantities"]] == [("torque", 25.0, "N·m")]
    assert {"layshaft", "drain plug"} <= {event["part"] for event in log["events"]}
    assert "25 N·m" in (tmp_path / "log" / "log.html").read_text()
