"""What the program remembers between runs: recent files, the last folder, and whether motion is to be kept down."""

from pathlib import Path

import msgspec
import platformdirs

RECENT_FILES = 8


class Settings(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """`reduced_motion` None follows the system. An unknown key is passed over, so that an older program can read a newer file."""

    recent: tuple[str, ...] = ()
    last_folder: str = ""
    reduced_motion: bool | None = None

    def with_recent(self, path: Path) -> "Settings":
        """The same with `path` as the most recent file, once, and its folder as the last one."""
        place = str(path.resolve())
        others = tuple(recent for recent in self.recent if recent != place)
        return msgspec.structs.replace(self, recent=(place, *others)[:RECENT_FILES], last_folder=str(path.resolve().parent))

    def without_recent(self, path: Path) -> "Settings":
        """The same with `path` forgotten, for a file that is gone."""
        return msgspec.structs.replace(self, recent=tuple(recent for recent in self.recent if recent != str(path.resolve())))


def settings_file() -> Path:
    """Where the settings are kept for this user."""
    return platformdirs.user_config_path("baysweep", appauthor=False) / "settings.json"


def state_folder() -> Path:
    """Where unsaved work is kept aside for this user."""
    return platformdirs.user_state_path("baysweep", appauthor=False) / "aside"


def stores_file() -> Path:
    """Where the user's own stores are kept."""
    return platformdirs.user_data_path("baysweep", appauthor=False) / "stores.json"


def read_settings(file: Path) -> Settings:
    """The settings in `file`; the defaults where there is none or it cannot be understood."""
    try:
        return msgspec.json.decode(file.read_bytes(), type=Settings)
    except (OSError, msgspec.MsgspecError):
        return Settings()


def write_settings(file: Path, settings: Settings) -> bool:
    """Keep the settings; False where the place cannot be written, which costs the user nothing but the memory."""
    part = file.with_name(file.name + ".part")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        part.write_bytes(msgspec.json.format(msgspec.json.encode(settings)))
        part.replace(file)
    except OSError:
        return False
    return True
