"""Settings from the environment, all named QUADWRIGHT_…; nothing else reads the environment."""

from pathlib import Path
from typing import Literal

from pydantic import Field
from pydantic_settings import BaseSettings, SettingsConfigDict


class Settings(BaseSettings):
    """How one process is set up. What belongs to the shop itself is kept in the database."""

    model_config = SettingsConfigDict(env_prefix="QUADWRIGHT_", extra="forbid")

    data: Path = Field(
        Path("quadwright-data"), description="Folder for the database file, attachments and fonts."
    )
    database_url: str = Field(
        "", description="SQLAlchemy address of the database; empty: an SQLite file in the folder."
    )
    base_url: str = Field(
        "http://127.0.0.1:8000", description="Address that printed codes lead to, no slash at end."
    )
    secure_cookies: bool = Field(
        False, description="Send the sign-in cookie over TLS only; set it behind a TLS proxy."
    )
    log_level: Literal["DEBUG", "INFO", "WARNING", "ERROR"] = Field(
        "INFO", description="DEBUG, INFO, WARNING or ERROR."
    )
    log_json: bool = Field(True, description="Logs as one JSON object a line; false: plain text.")
    demo: bool = Field(False, description="Every page says that the shop is invented.")

    @property
    def database(self) -> str:
        """The database address in force."""
        return self.database_url or f"sqlite:///{self.data / 'quadwright.db'}"
