"""The plugins of these tests: nothing is skipped where CI is set, and Qt can be kept out."""

import os
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
SKIPPING = """
    import pytest

    def test_that_skips():
        pytest.skip("no ladder here")

    @pytest.mark.skip(reason="no jack here")
    def test_that_is_marked():
        pass

    @pytest.mark.xfail(reason="known")
    def test_that_is_expected_to_fail():
        assert False
"""


@pytest.fixture
def with_root_on_path(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lets a pytest started in another folder import tests.*"""
    monkeypatch.setenv("PYTHONPATH", str(ROOT))


@pytest.mark.usefixtures("with_root_on_path")
def test_where_ci_is_set_a_skip_fails_and_an_expected_failure_does_not(
    pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CI", "true")
    pytester.makepyfile(SKIPPING)
    result = pytester.runpytest_subprocess("-p", "no:pytest-qt", "-p", "tests.no_skips")
    result.assert_outcomes(errors=1, failed=1, xfailed=1)
    result.stdout.fnmatch_lines(["*nothing may be skipped*no ladder here*"])


@pytest.mark.usefixtures("with_root_on_path")
def test_where_ci_is_set_a_module_that_skips_itself_fails(
    pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CI", "true")
    pytester.makepyfile("import pytest\npytest.skip('no hangar', allow_module_level=True)")
    result = pytester.runpytest_subprocess("-p", "no:pytest-qt", "-p", "tests.no_skips")
    result.assert_outcomes(errors=1)
    result.stdout.fnmatch_lines(["*nothing may be skipped*no hangar*"])


@pytest.mark.usefixtures("with_root_on_path")
def test_elsewhere_a_skip_stays_a_skip(pytester: pytest.Pytester, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CI", raising=False)
    pytester.makepyfile(SKIPPING)
    result = pytester.runpytest_subprocess("-p", "no:pytest-qt", "-p", "tests.no_skips")
    result.assert_outcomes(skipped=2, xfailed=1)


@pytest.mark.usefixtures("with_root_on_path")
def test_qt_that_is_kept_out_cannot_be_imported(pytester: pytest.Pytester) -> None:
    pytester.makepyfile("""
        import pytest

        def test_import():
            with pytest.raises(ModuleNotFoundError):
                import PySide6.QtCore
    """)
    pytester.runpytest_subprocess("-p", "no:pytest-qt", "-p", "tests.no_qt").assert_outcomes(passed=1)


def test_no_test_writes_to_the_persons_own_folders(tmp_path_factory: pytest.TempPathFactory) -> None:
    for kind in ("DATA", "CONFIG", "CACHE", "STATE"):
        assert Path(os.environ[f"XDG_{kind}_HOME"]).is_relative_to(tmp_path_factory.getbasetemp())
