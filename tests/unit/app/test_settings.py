"""What is remembered between runs, and that a broken memory costs nothing."""

from app.settings import RECENT_FILES, Settings, read_settings, write_settings


def test_what_is_written_is_read(tmp_path):
    file = tmp_path / "deep" / "settings.json"
    kept = Settings(recent=("/a.bay.json",), last_folder="/", reduced_motion=True)
    assert write_settings(file, kept)
    assert read_settings(file) == kept


def test_no_file_gives_the_defaults(tmp_path):
    assert read_settings(tmp_path / "none.json") == Settings()


def test_a_file_that_cannot_be_understood_gives_the_defaults(tmp_path):
    file = tmp_path / "settings.json"
    file.write_text('{"recent": 3}')
    assert read_settings(file) == Settings()
    file.write_bytes(b"\xff\xfe")
    assert read_settings(file) == Settings()


def test_keys_of_a_newer_program_are_passed_over(tmp_path):
    file = tmp_path / "settings.json"
    file.write_text('{"recent": ["/a"], "window": [1, 2]}')
    assert read_settings(file).recent == ("/a",)


def test_the_last_file_opened_stands_first_and_once(tmp_path):
    settings = Settings()
    for name in ("a", "b", "a"):
        settings = settings.with_recent(tmp_path / name)
    assert settings.recent == (str(tmp_path / "a"), str(tmp_path / "b"))
    assert settings.last_folder == str(tmp_path)


def test_only_so_many_files_are_kept(tmp_path):
    settings = Settings()
    for number in range(30):
        settings = settings.with_recent(tmp_path / str(number))
    assert len(settings.recent) == RECENT_FILES
    assert settings.recent[0].endswith("29")


def test_a_file_that_is_gone_is_forgotten(tmp_path):
    settings = Settings().with_recent(tmp_path / "a").with_recent(tmp_path / "b")
    assert settings.without_recent(tmp_path / "b").recent == (str(tmp_path / "a"),)


def test_a_place_that_cannot_be_written_is_told(tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("")
    assert not write_settings(blocked / "settings.json", Settings())
